package unit

import (
	"math"
	"strconv"
	"strings"
	"testing"
	"testing/quick"
)

// plainSpaces makes the expectations below readable.
var plainSpaces = strings.NewReplacer(nbsp, " ", thin, "'")

func TestWords(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Mass(412), "412 g"},
		{Mass(412.4), "412 g"},
		{Mass(8.44), "8.44 g"},
		{Mass(8.4), "8.4 g"},
		{Mass(0.0123), "0.0123 g"},
		{Mass(999.4), "999 g"},
		{Mass(999.6), "1 kg"},
		{Mass(1240), "1.24 kg"},
		{Mass(12_400_000), "12'400 kg"},
		{Mass(0), "0 g"},
		{Mass(-3), "−3 g"},
		{Mass(math.NaN()), "—"},
		{Mass(math.Inf(1)), "—"},
		{Volume(3100), "3.1 ml"},
		{Volume(1_236_000), "1.24 l"},
		{Length(36), "36 mm"},
		{Length(0.05), "0.05 mm"},
		{Length(0.035), "0.035 mm"},
		{Length(0.0996), "0.1 mm"},
		{Length(-0.0001), "0 mm"},
		{Length(143.6), "143.6 mm"},
		{Duration(0.5), "30 s"},
		{Duration(1), "1 min"},
		{Duration(45.4), "45 min"},
		{Duration(59.6), "1 h"},
		{Duration(200), "3 h 20 min"},
		{Duration(180), "3 h"},
		{Duration(47*60 + 59), "47 h 59 min"},
		{Duration(52 * 60), "2 d 4 h"},
		{Duration(math.Inf(1)), "—"},
		{Share(0.032), "3.2 %"},
		{Degrees(8.24), "8.2°"},
		{Number(9.996), "10"},
		{Number(1234.5), "1234"},
		{Number(12345), "12'345"},
		{Whole(2000), "2000"},
		{Whole(1234567), "1'234'567"},
		{MassRange(Between(104, 108, 112)), "104–112 g, likely 108"},
		{MassRange(Sure(11)), "11 g"},
		{MassRange(Between(11.001, 11.002, 11.003)), "11 g"},
		{MassRange(Between(940, 1020, 1100)), "940 g – 1.1 kg, likely 1.02 kg"},
		{DurationRange(Between(40, 45, 55)), "40–55 min, likely 45"},
		{DurationRange(Between(50, 60, 70)), "50 min – 1 h 10 min, likely 1 h"},
		{DurationRange(Between(170, 200, 240)), "2 h 50 min – 4 h, likely 3 h 20 min"},
		{DurationRange(Between(120, 150, 180)), "2–3 h, likely 2 h 30 min"},
		{Count(1, "plate", "plates"), "one plate"},
		{Count(12, "bee", "bees"), "twelve bees"},
		{Count(24, "plaque", "plaques"), "24 plaques"},
		{Count(0, "bee", "bees"), "no bees"},
		{InWords(24), "twenty-four"},
		{InWords(90), "ninety"},
		{InWords(240), "240"},
		{Spread(Between(7.2, 8, 9.6), Mass), "7.2–9.6 g"},
		{Spread(Between(1, 2, 80), Duration), "1 min – 1 h 20 min"},
		{Date{2027, 3, 14}.Long(), "14 March 2027"},
	} {
		if got := plainSpaces.Replace(c.got); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
}

// Rounding to three figures is off by at most half a unit of the third figure, one
// part in two hundred; the sixth place holds the parser's own rounding.
func TestNumberIsNearItsValue(t *testing.T) {
	near := func(v float64) bool {
		v = math.Mod(math.Abs(v), 1e6)
		if v < 0.01 {
			return true
		}
		return math.Abs(parse(t, Number(v))-v) <= v*0.005000001
	}
	if err := quick.Check(near, nil); err != nil {
		t.Error(err)
	}
}

func parse(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(strings.ReplaceAll(s, thin, ""), 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

func TestAmount(t *testing.T) {
	for want, got := range map[string]string{
		"12 pieces": Amount(12, "piece"), "1 piece": Amount(1, "piece"), "50 pairs": Amount(50, "pair"), "0.5 kg": Amount(0.5, "kg"), "3": Amount(3, ""),
	} {
		if got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
}

func TestOrdinal(t *testing.T) {
	for n, want := range map[int]string{1: "first", 12: "twelfth", 13: "13th", 21: "21st", 22: "22nd", 33: "33rd", 111: "111th", 112: "112th"} {
		if got := Ordinal(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}
