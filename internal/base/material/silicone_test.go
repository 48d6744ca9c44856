package material

import (
	"errors"
	"strings"
	"testing"

	"mouldwright/internal/base/finding"
)

func TestCheckTimes(t *testing.T) {
	soft := Silicones["soft food-grade rubber"].Value // 30 min and 5 h at 23 °C
	for name, class := range Silicones {
		if err := class.Value.CheckTimes(); err != nil {
			t.Errorf("class %q: %v", name, err)
		}
	}
	for what, c := range map[string]struct {
		change func(*Silicone)
		ok     bool
	}{
		"cured before it is worked":    {func(s *Silicone) { s.WorkingTimeMin = s.CureH.Scale(60) }, false},
		"only the slow ends cross":     {func(s *Silicone) { s.WorkingTimeMin.High = 60 * s.CureH.High }, false},
		"no working time":              {func(s *Silicone) { s.WorkingTimeMin.Low = 0 }, false},
		"a warmer second point":        {func(s *Silicone) { s.SecondC, s.SecondWorkMin = 33, 15 }, true},
		"a cooler second point":        {func(s *Silicone) { s.SecondC, s.SecondWorkMin, s.SecondCureH = 13, 60, 10 }, true},
		"slower when warm":             {func(s *Silicone) { s.SecondC, s.SecondWorkMin = 33, 45 }, false},
		"cures slower when warm":       {func(s *Silicone) { s.SecondC, s.SecondCureH = 33, 6 }, false},
		"quicker when cold":            {func(s *Silicone) { s.SecondC, s.SecondWorkMin = 13, 20 }, false},
		"two points at one place":      {func(s *Silicone) { s.SecondC, s.SecondWorkMin = 23.5, 29 }, false},
		"second point without a time":  {func(s *Silicone) { s.SecondC = 40 }, false},
		"second time without a degree": {func(s *Silicone) { s.SheetC, s.SecondWorkMin = 0, 10 }, false},
		"second work outlasts cure":    {func(s *Silicone) { s.SecondC, s.SecondWorkMin, s.SecondCureH = 33, 20, 0.3 }, false},
	} {
		s := soft
		c.change(&s)
		if err := s.CheckTimes(); (err == nil) != c.ok {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// A second time without its temperature is told as what is missing.
func TestSecondTemperatureMissing(t *testing.T) {
	s := Silicone{SheetC: 23, SecondWorkMin: 12}
	s.WorkingTimeMin.Low, s.WorkingTimeMin.Likely, s.WorkingTimeMin.High = 20, 30, 40
	s.CureH.Low, s.CureH.Likely, s.CureH.High = 4, 5, 6
	var e *finding.Error
	if err := s.CheckTimes(); !errors.As(err, &e) || e.Key != "silicone.second_sheet_c" || !strings.HasPrefix(e.Found, "missing") {
		t.Errorf("%v", err)
	}
}

func TestMassRatioByVolume(t *testing.T) {
	s := Silicone{RatioA: 10, RatioB: 1, RatioBy: "volume", DensityAGML: 1.1, DensityBGML: 1}
	if a, b, err := s.MassRatio(); err != nil || a/b < 10.999999 || a/b > 11.000001 {
		t.Errorf("10:1 by volume with 1.1 and 1.0 g/ml is %g:%g by mass, want 11:1 (%v)", a, b, err)
	}
	for _, bad := range []Silicone{{RatioA: 1}, {RatioB: 1}, {RatioA: 1, RatioB: 1, RatioBy: "volume"}} {
		if _, _, err := bad.MassRatio(); err == nil {
			t.Errorf("ratio %g to %g by %q was taken", bad.RatioA, bad.RatioB, bad.RatioBy)
		}
	}
}
