package workshop

import (
	"bytes"
	"context"
	"io"
	"net/http"
	"strings"
	"sync"

	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/job"
	"mouldwright/internal/sheet"
)

// CouponSet is the coupons of the job as it stands: what to print, and what to measure.
type CouponSet struct {
	Kinds  []CouponKind `json:"kinds" doc:"foot, size, detail, chocolate"`
	Plates []CouponFile `json:"plates" doc:"to print"`
	Pads   []CouponPad  `json:"pads" doc:"of the cure test"`
	Sheet  string       `json:"sheet" doc:"name of the PDF that says what to measure"`
}

// CouponKind is what is measured on one kind of coupon.
type CouponKind struct {
	Kind     string        `json:"kind" enum:"foot,size,detail,chocolate"`
	Spots    []coupon.Spot `json:"spots"`
	RubberG  float64       `json:"rubber_g" doc:"to fill the chocolate coupon's cup; else 0"`
	Drawings []CouponShape `json:"drawings" doc:"from above"`
}

// CouponShape is a coupon from above, its left front corner at the origin.
type CouponShape struct {
	Name    string         `json:"name"`
	WidthMM float64        `json:"width_mm"`
	DepthMM float64        `json:"depth_mm"`
	Rings   [][][2]float64 `json:"rings" doc:"closed lines in mm; the first is the outline"`
}

// CouponFile is one print.
type CouponFile struct {
	File    string   `json:"file" doc:"name to ask for under /api/coupons"`
	Parts   []string `json:"parts"`
	Resin   string   `json:"resin" doc:"what to fill the vat with"`
	TimeMin float64  `json:"time_min" doc:"likely, with the exposure of the job's resin"`
	ResinML float64  `json:"resin_ml"`
}

// CouponPad is one pad of the cure test.
type CouponPad struct {
	Code      string `json:"code" doc:"stands on it in relief"`
	Resin     string `json:"resin"`
	Treatment string `json:"treatment"`
	Coating   string `json:"coating"`
}

// CouponRequest is what was measured on one coupon.
type CouponRequest struct {
	Kind     string               `json:"kind" enum:"foot,size,detail,chocolate"`
	Readings map[string][]float64 `json:"readings_mm" doc:"in mm, each place by its name"`
}

// CouponAnswer is what the readings say.
type CouponAnswer struct {
	Learned coupon.Learned  `json:"learned"`
	Takes   []flow.Measured `json:"takes" doc:"what would become of the job with them"`
}

// couponBench keeps the coupons last made, with their files.
type couponBench struct {
	mu    sync.Mutex
	made  string // digest of the inputs they are of
	all   *flow.Coupons
	set   CouponSet
	files map[string][]byte // couponSheet among them once it was asked for
}

// couponSheet is the name of the sheet among the files.
const couponSheet = "coupons.pdf"

// buffer is a file in memory.
type buffer struct{ bytes.Buffer }

func (*buffer) Close() error { return nil }

// want makes the coupons of a job, unless they are those last made. One is made at a
// time: it takes half a second.
func (b *couponBench) want(ctx context.Context, in *flow.Input, version string) (CouponSet, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	err := b.make(ctx, in, version)
	return b.set, err
}

// file is one file of the coupons; nil: there is none of that name. The sheet is set when
// it is asked for: the page shows the coupons sooner without it.
func (b *couponBench) file(ctx context.Context, in *flow.Input, version, name string) ([]byte, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.make(ctx, in, version); err != nil {
		return nil, err
	}
	if name == couponSheet && b.files[name] == nil {
		var pdf bytes.Buffer
		if err := sheet.WriteCoupons(ctx, &pdf, b.all, "A4"); err != nil {
			return nil, err
		}
		b.files[name] = pdf.Bytes()
	}
	return b.files[name], nil
}

func (b *couponBench) make(ctx context.Context, in *flow.Input, version string) error {
	digest := flow.Digest(in, version)
	if b.made == string(digest[:]) {
		return nil
	}
	open := map[string]*buffer{}
	all, err := flow.MakeCoupons(ctx, in, version, func(name string) (io.WriteCloser, error) {
		f := &buffer{}
		open[strings.TrimPrefix(name, "coupons/")] = f
		return f, nil
	})
	if err != nil {
		return err
	}
	files := map[string][]byte{}
	for name, f := range open {
		files[name] = f.Bytes()
	}
	b.made, b.all, b.set, b.files = string(digest[:]), all, couponSet(all), files
	return nil
}

func couponSet(made *flow.Coupons) CouponSet {
	set := CouponSet{Kinds: []CouponKind{}, Plates: []CouponFile{}, Pads: []CouponPad{}, Sheet: couponSheet}
	for _, kind := range coupon.Kinds {
		k := CouponKind{Kind: kind, Spots: coupon.Spots(kind, made.Choices.Printer.LayerMM), Drawings: []CouponShape{}}
		for _, c := range made.List {
			if c.Kind == kind {
				k.RubberG += c.RubberMM3 / 1000 * made.Choices.Silicone.DensityGML.Likely
				k.Drawings = append(k.Drawings, couponShape(c))
			}
		}
		set.Kinds = append(set.Kinds, k)
	}
	for _, p := range made.Plates {
		f := CouponFile{File: strings.TrimPrefix(p.File, "coupons/"), Parts: []string{}, Resin: p.Resin, TimeMin: p.PrintTimeMin.Likely, ResinML: p.ResinML}
		for _, it := range p.Items {
			name := it.Coupon.Name
			if it.Coupon.Code != "" {
				name = "pad " + it.Coupon.Code
			}
			f.Parts = append(f.Parts, name)
		}
		set.Plates = append(set.Plates, f)
	}
	for _, c := range made.List {
		if c.Kind == coupon.Pad {
			set.Pads = append(set.Pads, CouponPad{c.Code, c.Test.Resin, c.Test.Treatment, c.Test.Coating})
		}
	}
	return set
}

func couponShape(c *coupon.Coupon) CouponShape {
	s := CouponShape{Name: c.Name, WidthMM: c.WidthMM, DepthMM: c.DepthMM, Rings: [][][2]float64{}}
	for _, o := range c.Drawing {
		for _, r := range o {
			ring := make([][2]float64, len(r))
			for i, p := range r {
				ring[i] = [2]float64{tenthMicron(p.X), tenthMicron(p.Y)}
			}
			s.Rings = append(s.Rings, ring)
		}
	}
	return s
}

func (s *Server) getCoupons(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	set, err := s.coupons.want(r.Context(), u.in, s.version)
	if err != nil {
		return err
	}
	return answer(w, set)
}

func (s *Server) getCoupon(w http.ResponseWriter, r *http.Request) error {
	u, err := s.job()
	if err != nil {
		return err
	}
	data, err := s.coupons.file(r.Context(), u.in, s.version, r.PathValue("name"))
	if err != nil {
		return err
	}
	if data == nil {
		return refusal{http.StatusNotFound, Mistake{Found: "there is no such file of coupons"}}
	}
	kind := "model/3mf"
	if r.PathValue("name") == couponSheet {
		kind = "application/pdf"
	}
	w.Header().Set("Content-Type", kind)
	_, err = w.Write(data)
	return err
}

// postCoupon says what readings mean, and what would become of the job with them.
func (s *Server) postCoupon(w http.ResponseWriter, r *http.Request) error {
	var q CouponRequest
	d, err := s.asked(w, r, &q)
	if err != nil {
		return err
	}
	u := d.usable()
	if u.in == nil {
		return refusal{http.StatusConflict, Mistake{Found: "the job cannot be read just now", Do: "mend it first"}}
	}
	reading := coupon.Reading{Kind: q.Kind, MM: q.Readings, Date: unit.Date{Year: 9999, Month: 12, Day: 31}} // newer than any other
	a := CouponAnswer{Learned: *coupon.Read("coupon", reading), Takes: []flow.Measured{}}
	if a.Learned.Sound() {
		if text, err := job.AddCoupon(d.current(), reading); err == nil {
			if j, err := job.Read(u.version, text); err == nil {
				for _, m := range j.Measured {
					if m.Date == reading.Date.String() {
						a.Takes = append(a.Takes, m)
					}
				}
			}
		}
	}
	return answer(w, a)
}

// current is the text in place.
func (d *Desk) current() []byte {
	d.mu.Lock()
	defer d.mu.Unlock()
	return d.text
}
