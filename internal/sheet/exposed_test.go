package sheet

import "testing"

func TestFigure(t *testing.T) {
	for v, want := range map[float64]string{0.424: "0.42", 8.26: "8.3", 67.4: "67"} {
		if got := figure(v); got != want {
			t.Errorf("%g: %s, want %s", v, got, want)
		}
	}
}
