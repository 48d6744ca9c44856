package workshop

import (
	"fmt"
	"slices"

	"mouldwright/internal/flow"
)

// dealtCounts is a job's choices and what was assumed with the counts that follow from
// the boxes, as the last sketch found them: a page shows how many are made, not that the
// job file says nothing.
func dealtCounts(in *flow.Input, last *flow.Result) (*flow.Choices, []flow.Assumed) {
	if last == nil || in.Choices.Box.Rows == 0 || last.Choices == nil {
		return &in.Choices, in.Assumed
	}
	c, assumed := in.Choices, slices.Clone(in.Assumed)
	c.Pieces = slices.Clone(c.Pieces)
	for i := range c.Pieces {
		key := fmt.Sprintf("piece[%d].count", i+1)
		at := slices.IndexFunc(assumed, func(a flow.Assumed) bool { return a.Key == key })
		now := slices.IndexFunc(last.Plan.Assumed, func(a flow.Assumed) bool { return a.Key == key })
		if at < 0 || now < 0 || i >= len(last.Choices.Pieces) || last.Choices.Pieces[i].Name != c.Pieces[i].Name {
			continue
		}
		c.Pieces[i].Count, assumed[at] = last.Choices.Pieces[i].Count, last.Plan.Assumed[now]
	}
	return &c, assumed
}
