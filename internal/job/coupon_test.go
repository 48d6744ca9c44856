package job

import (
	"reflect"
	"strings"
	"testing"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/coupon"
)

var reading = coupon.Reading{Kind: coupon.Size, Date: unit.Date{Year: 2027, Month: 1, Day: 17}, Resin: "grey",
	MM: map[string][]float64{"X10": {10.01, 10.02}, "X6": {5.9}, "Y40": {39.88}}}

func TestCouponsAreWrittenAndReadBack(t *testing.T) {
	text := []byte("# mine\n\ntitle = \"a\" # kept\n")
	for range 2 {
		var err error
		if text, err = AddCoupon(text, reading); err != nil {
			t.Fatal(err)
		}
	}
	if !strings.HasPrefix(string(text), "# mine\n\ntitle = \"a\" # kept\n") {
		t.Errorf("comments are gone:\n%s", text)
	}
	list, err := ReadCoupons("r.toml", []byte(strings.TrimPrefix(string(text), "# mine\n\ntitle = \"a\" # kept\n")))
	if err != nil {
		t.Fatalf("%v in\n%s", err, text)
	}
	if len(list) != 2 || !reflect.DeepEqual(list[0], reading) || !reflect.DeepEqual(list[1], reading) {
		t.Errorf("%+v from\n%s", list, text)
	}
	if want := "[coupon.readings_mm]\nX6 = 5.9\nX10 = [10.01, 10.02]\nY40 = 39.88\n"; !strings.Contains(string(text), want) {
		t.Errorf("not in order:\n%s", text)
	}
}

func TestBadReadingsFiles(t *testing.T) {
	for text, want := range map[string]string{
		"[[coupon]]\nkind = \"size\"\ndate = 2027-01-17\n[coupon.readings_mm]\nX10 = \"ten\"\n": "readings.toml:5",
		"[[coupon]]\nkind = \"colour\"\ndate = 2027-01-17\nreadings_mm = {}\n":                  "foot, size, detail, chocolate",
		"[[coupon]]\nkind = \"size\"\ndate = 2027-01-17\n[coupon.readings_mm]\nX10 = [-1]\n":    "0.01 to 300",
		"title = \"a\"\n": "unknown key",
		"[[coupon\n":      "not TOML",
	} {
		if _, err := ReadCoupons("readings.toml", []byte(text)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%q: %v", text, err)
		}
	}
}

func FuzzReadCoupons(f *testing.F) {
	f.Add([]byte("[[coupon]]\nkind = \"size\"\ndate = 2027-01-17\n[coupon.readings_mm]\nX10 = [10.01, 10.02]\n"))
	f.Add([]byte("[[coupon]]\nkind = \"foot\"\ndate = 2027-01-17\nreadings_mm = { H0 = [12.2], H100 = 12.1, H200 = 12, H300 = 12, H999999 = 1 }\n"))
	f.Add([]byte("coupon = 3"))
	f.Fuzz(func(t *testing.T, text []byte) {
		list, err := ReadCoupons("r.toml", text)
		if err != nil {
			return
		}
		for _, r := range list {
			if l := coupon.Read("coupon[1]", r); !l.Sound() && len(l.Values) > 0 {
				t.Fatalf("values of what is not sound: %+v", l)
			}
		}
	})
}
