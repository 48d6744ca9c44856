package main

import (
	"cmp"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/build"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/coupon"
	"mouldwright/internal/job"
	"mouldwright/internal/output"
)

type couponCommand struct {
	Make couponMake `cmd:"" help:"Make test parts to print, and the sheet that says what to measure."`
	Read couponRead `cmd:"" help:"Learn from what was measured, and keep it in the job."`
}

type couponMake struct {
	Job   string `arg:"" type:"job" help:"The job file, or its folder."`
	Out   string `short:"o" placeholder:"OUT" help:"Folder for the coupons: a new one, or earlier coupons. Without it: coupons beside the job file."`
	Paper string `enum:"A4,Letter" default:"A4" help:"Paper of the sheet: A4 or Letter."`
}

func (c *couponMake) Run(t *terminal) error {
	_, in, err := job.Load(t.ctx, c.Job)
	if err != nil {
		return err
	}
	c.Out = cmp.Or(c.Out, filepath.Join(filepath.Dir(c.Job), "coupons"))
	out, err := output.OpenCoupons(c.Out)
	if err != nil {
		return err
	}
	defer out.Abandon()
	made, err := build.Coupons(t.ctx, in, out, build.Options{Version: version, Paper: c.Paper})
	if err != nil {
		return err
	}
	if err := out.Commit(); err != nil {
		return err
	}
	for _, p := range made.Plates {
		fmt.Fprintf(t.stdout, "%s: %s, %s, %s of resin (%s)\n", filepath.Join(c.Out, filepath.FromSlash(p.File)), plural(len(p.Items), "coupon"), unit.Duration(p.PrintTimeMin.Likely), unit.Volume(p.ResinML*1000), p.Resin)
		if p.STL != "" {
			fmt.Fprintln(t.stdout, filepath.Join(c.Out, filepath.FromSlash(p.STL)))
		}
	}
	fmt.Fprintln(t.stdout, filepath.Join(c.Out, "coupons.pdf"))
	fmt.Fprintln(t.stderr, "caution: wear nitrile gloves and goggles with uncured resin, and air the room; a print never touches food")
	return nil
}

type couponRead struct {
	Job      string   `arg:"" type:"job" help:"The job file, or its folder."`
	Readings []string `arg:"" optional:"" help:"A file of readings, or a kind (foot, size, detail, chocolate) and readings such as X40=39.86 X40=39.88mm H0=12.21."`
	Date     string   `placeholder:"DAY" help:"The day of the measurement, such as 2027-01-17; today without it."`
	Keep     bool     `help:"Write the readings into the job file, where they take the place of assumed values."`
	JSON     bool     `name:"json" help:"Print what was learned as JSON instead of words."`
}

func (c *couponRead) Run(t *terminal) error {
	j, in, err := job.Load(t.ctx, c.Job)
	if err != nil {
		return err
	}
	list, own, err := c.readings(in)
	if err != nil {
		return err
	}
	var learned []*coupon.Learned
	stop := false
	for i, r := range list {
		l := coupon.Read(fmt.Sprintf("coupon[%d]", i+1), r)
		learned = append(learned, l)
		stop = stop || !l.Sound()
	}
	var after *job.Job
	if !stop {
		if after, err = c.keep(j, list, own); err != nil {
			return err
		}
	}
	if c.JSON {
		e := json.NewEncoder(t.stdout)
		e.SetIndent("", "  ")
		if err := e.Encode(learned); err != nil {
			return err
		}
	} else {
		t.tellLearned(learned)
	}
	if stop {
		fmt.Fprintln(t.stderr, "mouldwright: readings contradict themselves; nothing was kept")
		return errFinding
	}
	if !c.JSON {
		t.tellMeasured(after.Measured, c.Keep, own, c.Job)
	}
	return nil
}

// readings takes the readings from a file, from the command line, or, without either,
// from the job itself (own).
func (c *couponRead) readings(in *flow.Input) (list []coupon.Reading, own bool, err error) {
	if len(c.Readings) == 0 {
		if len(in.Choices.Coupons) == 0 {
			return nil, false, &finding.Error{File: c.Job, Found: "no readings", Do: "name a file of readings, or write the kind and what you measured: mouldwright coupon read " + c.Job + " size X10=9.98 X20=19.93 X6=5.9"}
		}
		return in.Choices.Coupons, true, nil
	}
	if len(c.Readings) == 1 && strings.HasSuffix(c.Readings[0], ".toml") {
		text, err := os.ReadFile(c.Readings[0])
		if err != nil {
			return nil, false, &finding.Error{File: c.Readings[0], Found: "cannot be read", Err: err, Do: "see that the name is right and that you may read it"}
		}
		list, err = job.ReadCoupons(c.Readings[0], text)
		if err == nil && len(list) == 0 {
			err = &finding.Error{File: c.Readings[0], Found: "no [[coupon]]", Do: "write [[coupon]], kind, date and readings_mm into it, as docs/reference/job.md says"}
		}
		return list, false, err
	}
	r := coupon.Reading{Kind: c.Readings[0], MM: map[string][]float64{}}
	now := time.Now()
	r.Date = unit.Date{Year: now.Year(), Month: int(now.Month()), Day: now.Day()}
	if c.Date != "" {
		if err := r.Date.UnmarshalText([]byte(c.Date)); err != nil {
			return nil, false, &finding.Error{Key: "--date", Found: c.Date, Allowed: "a day such as 2027-01-17", Do: "write year, month and day in this order"}
		}
	}
	r.Resin = in.Choices.Resin.Called()
	for _, s := range c.Readings[1:] {
		name, value, ok := strings.Cut(s, "=")
		if !ok {
			return nil, false, &finding.Error{Found: fmt.Sprintf("%q", s), Allowed: "a place and what it measured, such as X40=39.86", Do: "write the place, an equals sign and the number without blanks"}
		}
		mm, err := coupon.ParseMM(value)
		if err != nil {
			return nil, false, fmt.Errorf("%s: %w", name, err)
		}
		r.MM[strings.ToUpper(name)] = append(r.MM[strings.ToUpper(name)], mm)
	}
	return []coupon.Reading{r}, false, nil
}

// keep gives the job with the readings in it, and saves it when asked to.
func (c *couponRead) keep(j *job.Job, list []coupon.Reading, own bool) (*job.Job, error) {
	if own {
		return j, nil
	}
	text := j.Text
	for _, r := range list {
		var err error
		if text, err = job.AddCoupon(text, r); err != nil {
			return nil, err
		}
	}
	after, err := job.Read(c.Job, text)
	if err != nil || !c.Keep {
		return after, err
	}
	return after, output.Edit(c.Job, j.Text, text)
}

// tellLearned prints what each coupon says.
func (t *terminal) tellLearned(list []*coupon.Learned) {
	for _, l := range list {
		fmt.Fprintf(t.stdout, "%s, measured %s\n", l.Kind, l.Date)
		for _, r := range l.Rows {
			if l.Kind == coupon.Detail || l.Kind == coupon.Chocolate {
				break
			}
			fmt.Fprintf(t.stdout, "  %-6s %8.2f mm of %s, by the values below %.2f mm: off by %+.2f\n", r.Name, r.MeanMM, plural(r.Count, "reading"), r.FitMM, r.MeanMM-r.FitMM)
		}
		for _, v := range l.Values {
			fmt.Fprintf(t.stdout, "  %s: %s\n", v.What, couponValue(v))
		}
		for _, f := range l.Findings {
			fmt.Fprintf(t.stderr, "%s: %s\n", f.Severity, f)
		}
	}
}

// couponValue words a value with its uncertainty.
func couponValue(v coupon.Found) string {
	word, unitOf := func(x float64) string { return fmt.Sprintf("%.3f", x) }, v.Unit
	if v.Unit == coupon.InShare {
		word, unitOf = func(x float64) string { return fmt.Sprintf("%.2f", 100*x) }, "%"
	}
	if v.DoF == 0 {
		return fmt.Sprintf("%g %s", v.Value.Likely, v.Unit)
	}
	return fmt.Sprintf("%s %s, 95 %% within %s to %s (standard error %s, %s)", word(v.Value.Likely), unitOf, word(v.Value.Low), word(v.Value.High), word(v.StdErr), plural(v.DoF, "degree")+" of freedom")
}

// tellMeasured prints what becomes of the job.
func (t *terminal) tellMeasured(list []flow.Measured, kept, own bool, name string) {
	for _, m := range list {
		switch {
		case m.Key == "":
		case m.Used:
			fmt.Fprintf(t.stdout, "%s = %s takes the place of an assumed value\n", m.Key, couponPlain(m))
		default:
			fmt.Fprintf(t.stderr, "note: %s is not taken: %s\n", m.Key, m.Why)
		}
	}
	switch {
	case own:
	case kept:
		fmt.Fprintf(t.stdout, "kept in %s\n", name)
	default:
		fmt.Fprintln(t.stderr, "nothing was changed; --keep writes the readings into the job")
	}
}

func couponPlain(m flow.Measured) string {
	if m.StdErr == 0 {
		return fmt.Sprintf("%g", m.Value.Likely)
	}
	return fmt.Sprintf("[%g, %g, %g]", m.Value.Low, m.Value.Likely, m.Value.High)
}
