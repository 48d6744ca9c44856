package piece

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/svg"
	"mouldwright/internal/flow/artwork"
)

// Inputs is what a design takes from outside its choices. No file is opened here.
type Inputs struct {
	FloorMM    float64           // chocolate that must stay under sunk art: the job file's forecast.least_floor_mm
	Design     int               // index of the design in the job, from 0; names the keys in findings
	Files      map[string][]byte // bytes of each art file, by the name that the job uses
	Fonts      *artwork.Fonts    // built-in and own fonts, shared by all designs; nil for the built-in ones
	DensityGML float64           // of the set chocolate, 0.5..2; needed with weight_g only

	// ReadSVG reads a vector file; nil is svg.Read. A caller that makes a design again
	// and again passes one that keeps what it read; a Drawing is never changed.
	ReadSVG func(ctx context.Context, name string, data []byte) (*svg.Drawing, []finding.Finding, error)
}

// key names a key of the job file: key(2, "art[%d].depth_mm", 1) is "piece[3].art[1].depth_mm".
func (in Inputs) key(format string, args ...any) string {
	return fmt.Sprintf("piece[%d].", in.Design+1) + fmt.Sprintf(format, args...)
}

// readSVG reads a vector file.
func (in Inputs) readSVG(ctx context.Context, name string, data []byte) (*svg.Drawing, []finding.Finding, error) {
	if in.ReadSVG != nil {
		return in.ReadSVG(ctx, name, data)
	}
	return svg.Read(ctx, name, data)
}

const leastSizeMM = 0.05 // no key of a size takes less but 0 (source: the keys' min)

// mend is the remedy that sets a key of this design to a number of mm. A piece that
// weight_g scales has none: its findings are about sizes that stand nowhere. Nor has
// one that would have to be next to nothing.
func (in Inputs) mend(c Choices, key string, mm float64) finding.Remedy {
	if c.WeightG > 0 || mm < leastSizeMM {
		return finding.Remedy{}
	}
	return finding.Set(in.key("%s", key), math.Round(mm*1000)/1000)
}

func (in Inputs) stop(key, what, do string) finding.Finding {
	return finding.Finding{Severity: finding.Stop, Where: in.key("%s", key), What: what, Do: do}
}
