package workshop

import (
	"fmt"
	"io"
	"net/http"
	"testing"

	"mouldwright/internal/base/finding"
)

// The coupons of a job can be taken, read, and kept; a contradiction is told and no
// value given.
func TestCoupons(t *testing.T) {
	v := opened(t, letters(t))
	var set CouponSet
	v.want(http.StatusOK, "GET", "/api/coupons", nil, &set)
	if len(set.Kinds) != 4 || len(set.Plates) < 3 || len(set.Pads) == 0 || set.Kinds[1].Spots[0].Name != "X40" || len(set.Kinds[1].Drawings) != 2 {
		t.Fatalf("%+v", set)
	}
	for _, p := range set.Plates {
		v.want(http.StatusOK, "GET", "/api/coupons/"+p.File, nil, nil)
	}
	sheet := v.do("GET", "/api/coupons/"+set.Sheet, nil, nil)
	if head, _ := io.ReadAll(io.LimitReader(sheet.Body, 5)); sheet.StatusCode != http.StatusOK || string(head) != "%PDF-" {
		t.Errorf("the sheet: %s, begins %q", sheet.Status, head)
	}
	v.want(http.StatusNotFound, "GET", "/api/coupons/other.3mf", nil, nil)

	readings := map[string][]float64{}
	for _, axis := range "XY" {
		for _, l := range []float64{10, 20, 30, 40} {
			readings[fmt.Sprintf("%c%g", axis, l)] = []float64{l*0.994 + 0.05}
		}
		for _, l := range []float64{6, 12, 18, 24} {
			readings[fmt.Sprintf("%c%g", axis, l)] = []float64{l*0.994 - 0.05}
		}
	}
	var a CouponAnswer
	v.want(http.StatusOK, "POST", "/api/coupons/read", CouponRequest{"size", readings}, &a)
	used := 0
	for _, m := range a.Takes {
		if m.Used {
			used++
		}
	}
	if !a.Learned.Sound() || used != 4 { // the middle of both axes and their difference, of size and of bleed
		t.Errorf("%+v", a)
	}
	readings["X30"] = []float64{28}
	v.want(http.StatusOK, "POST", "/api/coupons/read", CouponRequest{"size", readings}, &a)
	if finding.Worst(a.Learned.Findings) != finding.Stop || len(a.Learned.Values) > 0 || len(a.Takes) > 0 {
		t.Errorf("a contradiction is taken: %+v", a)
	}
}
