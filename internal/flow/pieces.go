package flow

import (
	"context"
	"errors"
	"fmt"
	"math"
	"runtime"
	"sync"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
)

// maxPieces bounds the different pieces of a job (our choice: hours of computing).
const maxPieces = 20000

// Cavities is how many places a design has on the master: what the person asked for,
// or as many as chocolates are wanted, at most 12 (a tray that two hands can fill in
// time; common practice, no source), and one for each name.
func Cavities(c piece.Choices) int {
	switch {
	case c.Cavities > 0:
		return c.Cavities
	case c.Names:
		return 1
	}
	return min(c.Count, 12)
}

// pieces makes every piece: shape, cavity, and surface for the master. Reliefs are
// large and are dropped as soon as all three are made and the watcher has seen them.
func (b *build) pieces(ctx context.Context) error {
	type job struct {
		design *piece.Design
		made   made
		row    Row
	}
	var jobs []job
	for i := range b.c.Pieces {
		d, list, err := piece.Prepare(ctx, b.c.Pieces[i], b.pieceInputs(i), b.pitchMM(i))
		b.found(list)
		if err != nil {
			return inDesign(i, err)
		}
		if d == nil {
			continue
		}
		for _, k := range b.rowsOf(i) {
			jobs = append(jobs, job{design: d, made: made{design: i, row: k}, row: b.row(k)})
		}
	}
	if len(jobs) > maxPieces {
		return tooMany(len(jobs))
	}
	if finding.Worst(b.r.Plan.Findings) == finding.Stop {
		return nil
	}
	b.opt.Progress("piece", 0, len(jobs))
	err := inOrder(ctx, len(jobs), runtime.GOMAXPROCS(0), func(ctx context.Context, k int) (*shape, error) {
		return b.shape(ctx, jobs[k].design, jobs[k].made, jobs[k].row)
	}, func(k int, s *shape) error {
		b.opt.Progress("piece", k, len(jobs))
		b.found(s.made.found)
		if s.made.stopped {
			return nil
		}
		if b.opt.Watcher != nil {
			if err := b.opt.Watcher.Piece(ctx, len(b.made), s.piece, s.cavity); err != nil {
				return err
			}
		}
		b.take(s.made)
		return nil
	})
	b.opt.Progress("piece", len(jobs), len(jobs))
	return err
}

func tooMany(n int) error {
	return &finding.Error{Key: "piece", Found: fmt.Sprintf("%d different pieces", n), Allowed: fmt.Sprintf("at most %d", maxPieces), Do: "divide the list of names into several jobs"}
}

// take adds a piece to the result and hands it on to master and kitchen.
func (b *build) take(m made) {
	b.made = append(b.made, m)
	b.r.Items = append(b.r.Items, m.item)
	b.r.Plan.Pieces = append(b.r.Plan.Pieces, m.plan)
	b.items = append(b.items, m.kitchen)
}

// pitchMM is the pitch of a design's reliefs: a sketch's, what the person asked for,
// or half a pixel.
func (b *build) pitchMM(design int) float64 {
	switch c := &b.c.Pieces[design]; {
	case b.sketch:
		return math.Max(sketchPitchMM, math.Max(c.WidthMM, c.DepthMM)/sketchSamples)
	case b.c.PitchMM > 0:
		return b.c.PitchMM
	}
	return b.c.Printer.PixelMM / 2
}

// shape is a piece with everything that is large.
type shape struct {
	made   made
	piece  *piece.Piece
	cavity *cavity.Cavity
	hollow []PlanPocket // of a sketch: where poured rubber may shut air in
}

// shape makes a piece, its cavity, and its surface for the master.
func (b *build) shape(ctx context.Context, d *piece.Design, m made, row Row) (*shape, error) {
	s, err := b.hollow(ctx, d, m, row)
	if err != nil || s.made.stopped {
		return s, err
	}
	c := b.counting(m.design, m.row)
	if err := b.surface(ctx, s, b.c.Master.ToleranceMM); err != nil {
		return nil, err
	}
	s.made.item.Cavities = Cavities(c)
	b.measure(s, c)
	if err := b.foresee(ctx, s); err != nil {
		return nil, err
	}
	if m.row == b.firstRow(m.design) {
		s.made.body, err = b.body(ctx, s)
	}
	return s, inDesign(m.design, err)
}

func (b *build) surface(ctx context.Context, s *shape, tolMM float64) (err error) {
	surface := master.Surface
	if b.sketch {
		surface = master.SketchSurface
	}
	s.made.item, err = surface(ctx, s.piece, b.c.Master, b.c.Silicone.Shrinkage.Likely, b.c.Resin.BleedMM.Likely, tolMM)
	return inDesign(s.made.design, err)
}

// hollow makes a piece and its cavity.
func (b *build) hollow(ctx context.Context, d *piece.Design, m made, row Row) (*shape, error) {
	c := b.c.Pieces[m.design]
	s := &shape{made: m}
	p, list, err := d.Piece(ctx, row.Vars, m.row)
	s.made.found = append(s.made.found, list...)
	if err != nil {
		return nil, inDesign(m.design, err)
	}
	if p == nil {
		s.made.stopped = true
		return s, nil
	}
	if m.row >= 0 {
		p.Name = c.Name + ": " + row.Label
	}
	p.Design = m.design
	s.piece = p
	divide := cavity.Make
	if b.sketch {
		divide = cavity.Sketch
	}
	cav, list, err := divide(ctx, p, b.c.Shell, c.Filling == "")
	s.made.found = append(s.made.found, list...)
	if err != nil {
		return nil, inDesign(m.design, err)
	}
	if cav == nil {
		s.made.stopped = true
		return s, nil
	}
	s.cavity = cav
	return s, nil
}

// measure fills in the numbers of a piece.
func (b *build) measure(s *shape, c piece.Choices) {
	p, cav := s.piece, s.cavity
	s.made.footprint = p.Footprint
	ch, fill := b.c.Chocolate[c.Chocolate], b.c.Filling[c.Filling]
	box := p.Footprint.Bounds()
	n := Cavities(c)
	s.made.plan = PlanPiece{
		Name: p.Name, Count: c.Count, Cavities: n, Rounds: kitchen.Rounds(c.Count, n, b.c.Kitchen),
		Chocolate: c.Chocolate, Filling: c.Filling,
		WidthMM: box.W(), DepthMM: box.H(), HeightMM: p.HeightMM,
		VolumeMM3: p.VolumeMM3, SolidMassG: ch.DensityGML.Scale(p.VolumeMM3 / 1000),
		ShellVolumeMM3: cav.ShellMM3, FillingVolumeMM3: cav.FillingMM3, CapVolumeMM3: cav.CapMM3,
		ThinnestShellMM: cav.ThinnestMM, MinDraftDeg: p.MinDraftDeg, UndercutMM3: p.UndercutMM3(),
		PlanForecast: PlanForecast{Marks: []PlanMark{}, AirPockets: []PlanPocket{}, Widths: []PlanWidth{}},
	}
	if cav.ThinnestMM > 0 {
		s.made.plan.ThinnestAtMM = []float64{cav.ThinnestAt.X, cav.ThinnestAt.Y}
	}
	s.made.plan.Undercuts = b.planUndercuts(p)
	mass := ch.DensityGML.Scale((cav.ShellMM3 + cav.CapMM3) / 1000)
	inner := fill.DensityGML.Scale(cav.FillingMM3 / 1000)
	mass.Low, mass.Likely, mass.High = mass.Low+inner.Low, mass.Likely+inner.Likely, mass.High+inner.High
	s.made.plan.MassG = mass
	s.made.kitchen = kitchen.Item{
		Piece: p.Name, Count: c.Count, Chocolate: c.Chocolate, ChocolateGML: ch.DensityGML,
		Filling: c.Filling, FillingGML: fill.DensityGML,
		ShellMM3: cav.ShellMM3, FillingMM3: cav.FillingMM3, CapMM3: cav.CapMM3,
		Rounds: kitchen.Rounds(c.Count, n, b.c.Kitchen),
	}
}

// inDesign says in which design an error arose.
func inDesign(i int, err error) error {
	var e *finding.Error
	if errors.As(err, &e) && e.Key == "" {
		e.Key = fmt.Sprintf("piece[%d]", i+1)
	}
	return err
}

// inOrder runs produce for 0..n-1 on some workers and hands the results to take in
// order, so that the outcome does not depend on the number of workers. At most
// workers results wait at any time.
func inOrder[T any](ctx context.Context, n, workers int, produce func(context.Context, int) (T, error), take func(int, T) error) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	type result struct {
		v   T
		err error
	}
	slots := make([]chan result, n)
	for k := range slots {
		slots[k] = make(chan result, 1)
	}
	var wg sync.WaitGroup
	defer wg.Wait()
	next := 0
	start := func() {
		if next >= n {
			return
		}
		k := next
		next++
		wg.Add(1)
		go func() {
			defer wg.Done()
			v, err := produce(ctx, k)
			slots[k] <- result{v, err}
		}()
	}
	for range workers {
		start()
	}
	for k := range n {
		r := <-slots[k]
		if r.err == nil {
			start()
			r.err = take(k, r.v)
		}
		if r.err != nil {
			stop()
			return r.err
		}
	}
	return nil
}
