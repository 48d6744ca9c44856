package job

import (
	"errors"
	"fmt"
	"reflect"
	"strings"

	"github.com/pelletier/go-toml/v2"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/coupon"
)

// ReadCoupons reads a file of readings: [[coupon]] tables as the job file has them, and
// nothing else.
func ReadCoupons(name string, text []byte) ([]coupon.Reading, error) {
	if len(text) > MaxText {
		return nil, &finding.Error{File: name, Found: fmt.Sprintf("%d bytes", len(text)), Allowed: fmt.Sprintf("at most %d bytes", MaxText), Do: "keep the readings of one job in one file"}
	}
	var tree map[string]any
	if err := toml.Unmarshal(text, &tree); err != nil {
		e := &finding.Error{File: name, Found: "not TOML: " + strings.TrimPrefix(err.Error(), "toml: "), Do: "see toml.io for the form of such a file"}
		var d *toml.DecodeError
		if errors.As(err, &d) {
			e.Line, e.Column = d.Position()
		}
		return nil, e
	}
	var out struct {
		Coupons []coupon.Reading `toml:"coupon" doc:"what was measured"`
	}
	b := &binder{file: name, ix: indexKeys(text)}
	b.table("", reflect.ValueOf(&out).Elem(), tree)
	if len(b.errs) > 0 {
		return nil, b.joined()
	}
	return out.Coupons, nil
}

// AddCoupon writes a coupon's readings behind those that the job has.
func AddCoupon(text []byte, r coupon.Reading) ([]byte, error) {
	readings := map[string]any{}
	for name, list := range r.MM {
		items := make([]any, len(list))
		for i, v := range list {
			items[i] = v
		}
		readings[name] = items
	}
	table := map[string]any{"kind": r.Kind, "date": r.Date.String(), "readings_mm": readings}
	if r.Resin != "" {
		table["resin"] = r.Resin
	}
	return AddTable(text, "coupon", table)
}
