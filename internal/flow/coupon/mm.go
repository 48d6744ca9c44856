package coupon

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"mouldwright/internal/base/finding"
)

// inchMM is the international inch, exactly 25.4 mm (international yard agreement, 1959).
const inchMM = 25.4

// ParseMM reads a length as a person writes it: 39.86, "39.86 mm", "250 µm", "1.5693 in";
// without a unit it is mm.
func ParseMM(s string) (float64, error) {
	text := strings.TrimSpace(s)
	factor := 1.0
	for _, u := range []struct {
		unit string
		mm   float64
	}{{"mm", 1}, {"µm", 0.001}, {"μm", 0.001}, {"um", 0.001}, {"in", inchMM}, {`"`, inchMM}} {
		if rest, ok := strings.CutSuffix(text, u.unit); ok {
			text, factor = strings.TrimSpace(rest), u.mm
			break
		}
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || math.IsNaN(v) || v*factor < 0.01 || v*factor > 300 {
		return 0, &finding.Error{Found: fmt.Sprintf("%q", s), Allowed: "a length from 0.01 to 300 mm, such as 39.86, 39.86mm, 250um or 1.5693in", Do: "write what the caliper shows, with a point"}
	}
	return v * factor, nil
}
