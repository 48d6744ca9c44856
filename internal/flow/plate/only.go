package plate

import (
	"context"
	"fmt"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/material"
	"mouldwright/internal/flow/master"
)

// Only nests just some parts, such as those that failed: the plates that print the rest
// in the least time. numbers count parts from 1; each is printed with all its copies,
// and a number that stands twice counts once. Items refer to parts as those of Make do.
func Only(ctx context.Context, parts []master.Part, numbers []int, c Choices, printer material.Printer, resin material.Resin) (*Plates, []finding.Finding, error) {
	if len(numbers) == 0 {
		return nil, nil, &finding.Error{Key: "only", Found: "no part", Allowed: fmt.Sprintf("numbers from 1 to %d, such as 3,7", len(parts)), Do: "name the numbers on the part of the plan or of the sheet of plates"}
	}
	some := slices.Clone(parts)
	for i := range some {
		some[i].Copies = 0
	}
	for _, n := range numbers {
		if n < 1 || n > len(parts) {
			return nil, nil, &finding.Error{Key: "only", Found: fmt.Sprintf("part %d", n), Allowed: fmt.Sprintf("1 to %d", len(parts)), Do: "take the numbers from the plates' sheet, or part_numbers in plan.json"}
		}
		some[n-1].Copies = parts[n-1].Copies
	}
	return Make(ctx, some, c, printer, resin)
}
