package finding

import "testing"

// By hand.
func TestSlips(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"", "", 0}, {"", "nuts", 4}, {"outline", "outline", 0}, {"outlin", "outline", 1}, {"hazlenut", "hazelnut", 1}, {"kitten", "sitting", 3}, {"Zürich", "Zurich", 1}, {"ca", "abc", 3}} {
		if got, back := Slips(c.a, c.b), Slips(c.b, c.a); got != c.want || back != c.want {
			t.Errorf("%q and %q: %d and %d slips, want %d", c.a, c.b, got, back, c.want)
		}
	}
}
