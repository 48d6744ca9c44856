package piece

import (
	"fmt"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/artwork"
)

// Inputs is what a design takes from outside its choices. No file is opened here.
type Inputs struct {
	Design     int               // index of the design in the job, from 0; names the keys in findings
	Files      map[string][]byte // bytes of each art file, by the name that the job uses
	Fonts      *artwork.Fonts    // built-in and own fonts, shared by all designs; nil for the built-in ones
	DensityGML float64           // of the set chocolate, 0.5..2; needed with weight_g only
}

// key names a key of the job file: key(2, "art[%d].depth_mm", 1) is "piece[3].art[1].depth_mm".
func (in Inputs) key(format string, args ...any) string {
	return fmt.Sprintf("piece[%d].", in.Design+1) + fmt.Sprintf(format, args...)
}

func (in Inputs) stop(key, what, do string) finding.Finding {
	return finding.Finding{Severity: finding.Stop, Where: in.key("%s", key), What: what, Do: do}
}
