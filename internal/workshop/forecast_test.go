package workshop

import (
	"math"
	"testing"
)

// What will come out holds nearly the drawn volume, the difference map is the volume's
// change, and both are bounded in size. Another rule of [forecast] is another answer.
func TestForecastOfAPiece(t *testing.T) {
	v := opened(t, orchard)
	var p PieceHead
	unpack(t, v.do("GET", "/api/piece/4?row=9&detail=fine", nil, nil), &p)
	if len(p.Numbers.Marks) != 0 {
		t.Error("the shape waited for the forecast")
	}
	var h ForecastHead
	a := v.do("GET", "/api/forecast/4?row=9", nil, nil)
	tag := a.Header.Get("ETag")
	b := unpack(t, a, &h)
	if h.Design != 4 || h.Row != 9 || h.Name != p.Name || len(h.Forecast.Marks) < 8 || h.LayerMM <= 0 || h.EyeMM <= 0 {
		t.Errorf("%+v", h)
	}
	if max(h.Heights.W, h.Heights.H) > textureMax+1 || max(h.Difference.W, h.Difference.H) > differenceMax+1 {
		t.Errorf("%d x %d heights, %d x %d differences", h.Heights.W, h.Heights.H, h.Difference.W, h.Difference.H)
	}
	// Steps of the layers round heights to the nearest: on average nothing.
	will := volumeOf(h.Heights, b["heights"].([]uint16), 0)
	change := 0.0
	for _, n := range b["difference"].([]uint16) {
		change += h.Difference.LowMM + h.Difference.StepMM*float64(n)
	}
	change *= h.Difference.PitchMM * h.Difference.PitchMM
	if drawn := p.Numbers.VolumeMM3; math.Abs(will-drawn-change) > 0.005*drawn {
		t.Errorf("drawn %g mm³, will be %g, the map says %g more", drawn, will, change)
	}
	if h.LowestMM > 0 || h.HighestMM < 0 || h.LowestMM < h.Difference.LowMM-1e-3 {
		t.Errorf("from %g to %g mm", h.LowestMM, h.HighestMM)
	}
	if len(b["positions"].([]float32)) == 0 || len(b["triangles"].([]uint32)) == 0 {
		t.Error("no surface")
	}
	for _, f := range h.Findings {
		if f.Stage != "pieces" {
			t.Errorf("%+v", f)
		}
	}
	if r := v.do("GET", "/api/forecast/4?row=9", nil, map[string]string{"If-None-Match": tag}); r.StatusCode != 304 {
		t.Errorf("asked again: %d", r.StatusCode)
	}
	for path, want := range map[string]int{"/api/forecast/9": 404, "/api/forecast/4?row=99": 404} {
		if r := v.do("GET", path, nil, nil); r.StatusCode != want {
			t.Errorf("%s: %d", path, r.StatusCode)
		}
	}
}
