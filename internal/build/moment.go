package build

import (
	"os"
	"strconv"
	"time"

	"mouldwright/internal/flow"
)

// Present is the present instant. SOURCE_DATE_EPOCH, the seconds since 1970 by which
// builds are repeated (reproducible-builds.org/specs/source-date-epoch), stands in for
// the clock.
func Present() time.Time {
	if s, err := strconv.ParseInt(os.Getenv("SOURCE_DATE_EPOCH"), 10, 64); err == nil && s > 0 {
		return time.Unix(s, 0).UTC()
	}
	return time.Now()
}

// Moment gives a job the present hour, unless its record has given one. It counts only
// when time is short: the plan is then made from it. Until then the same job gives the
// same bytes on any day.
func Moment(past *flow.Past) {
	if past.Now.IsZero() {
		past.Now = Present().Truncate(time.Hour)
	}
}
