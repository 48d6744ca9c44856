package pour

import (
	"strings"
	"testing"
)

func TestCodeOfACombination(t *testing.T) {
	a := CureTest{Resin: "grey resin", Treatment: "washed twice, 60 min at 60 °C", Coating: "none", Silicone: "soft"}
	b := a
	b.Resin, b.Silicone = "  Grey   RESIN ", "firm"
	if a.Code() != b.Code() {
		t.Errorf("case, spaces or rubber change the code: %s, %s", a.Code(), b.Code())
	}
	if len(a.Code()) != codeLength || strings.ContainsAny(a.Code(), "ILOUilou") {
		t.Errorf("code %q", a.Code())
	}
	for _, change := range []func(*CureTest){func(c *CureTest) { c.Resin += "2" }, func(c *CureTest) { c.Treatment += "2" }, func(c *CureTest) { c.Coating = "clear lacquer" }} {
		c := a
		change(&c)
		if c.Code() == a.Code() {
			t.Errorf("%+v has the code of %+v", c, a)
		}
	}
}

func TestTwoCombinationsOfOneCodeAreRefused(t *testing.T) {
	a := CureTest{Resin: "a", Treatment: "b", Coating: "none"}
	if err := distinctCodes([]CureTest{a, {Resin: "A", Treatment: " b", Coating: "NONE"}}); err == nil {
		t.Error("taken")
	}
}
