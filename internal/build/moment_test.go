package build

import (
	"testing"
	"time"

	"mouldwright/internal/flow"
)

func TestMoment(t *testing.T) {
	t.Setenv("SOURCE_DATE_EPOCH", "1795000000")
	var p flow.Past
	Moment(&p)
	if want := time.Unix(1795000000, 0).UTC().Truncate(time.Hour); !p.Now.Equal(want) {
		t.Errorf("%s, want %s", p.Now, want)
	}
	given := time.Date(2026, 12, 5, 18, 30, 0, 0, time.UTC)
	p.Now = given
	Moment(&p)
	if !p.Now.Equal(given) {
		t.Error("the record's instant is gone")
	}
}
