// Package flow wires the stages in their order; it is the file to read first.
//
//	Input (choices, names, bytes of the art)
//	  artwork -> relief -> piece -> master -> plate
//	                         |        `----> pour, mould
//	                         |-> forecast (what will print, fill and let go)
//	                         `-> cavity -> kitchen -> box
//	all of these -> calendar, shopping
//	Result (Plan, shapes for pictures and sheets)
//
// No stage opens a file, reads a clock, or knows the server or the record.
package flow

import (
	"context"
	"fmt"
	"io"
	"maps"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/font"
	"mouldwright/internal/base/geom"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/piece"
	"mouldwright/internal/flow/plate"
)

// Options is what a build is given besides its input.
type Options struct {
	Version  string // of the program; part of the revision
	Watcher  Watcher
	Progress Progress
	Layers   bool  // also write every plate's layer images
	Only     []int // parts, from 1, to print again: the build ends with the plates that hold just them
	// Create opens a file of the output; nil computes the files and their digests
	// without keeping them.
	Create func(name string) (io.WriteCloser, error)
}

// Progress is told what the build is at: done of total parts of a stage.
type Progress func(stage string, done, total int)

// Build computes everything. A finding with severity stop ends the build early with
// the plan as far as it came; the error is nil then.
func Build(ctx context.Context, in *Input, opt Options) (*Result, error) {
	if opt.Progress == nil {
		opt.Progress = func(string, int, int) {}
	}
	b := &build{in: in, c: &in.Choices, opt: opt}
	b.settle = b.chill
	b.r = &Result{Choices: b.c, Plan: b.head()}
	if err := b.deal(ctx); err != nil {
		return nil, err
	}
	var err error
	if b.fonts, err = ownFonts(in); err != nil {
		return nil, err
	}
	return b.run(ctx, b.pieces, b.plates)
}

// run goes through the stages in their order.
func (b *build) run(ctx context.Context, pieces, plates func(context.Context) error) (*Result, error) {
	for _, s := range []struct {
		stage string
		do    func(context.Context) error
	}{{"pieces", pieces}, {"master", b.master}, {"plates", plates}, {"pour", b.pour}, {"mould", b.mould}, {"kitchen", b.kitchen}, {"box", b.box}, {"calendar", b.calendar}, {"shopping", b.shopping}} {
		b.stage = s.stage
		before := len(b.r.Plan.Findings)
		if s.stage == "plates" {
			b.found(b.in.Found)
		}
		if err := s.do(ctx); err != nil {
			return nil, err
		}
		if s.stage == "pieces" {
			b.found(b.smallLetters())
			b.r.Plan.Findings = gather(b.r.Plan.Findings, nil)
		}
		b.r.Plan.Findings = append(b.r.Plan.Findings[:before:before], gatherLike(b.r.Plan.Findings[before:])...)
		b.r.Stages = b.r.Stages[:len(b.r.Plan.Findings)]
		if finding.Worst(b.r.Plan.Findings) == finding.Stop || s.stage == "plates" && len(b.opt.Only) > 0 {
			break
		}
	}
	return b.r, nil
}

// build is one run through the stages.
type build struct {
	in     *Input
	c      *Choices
	opt    Options
	r      *Result
	fonts  *artwork.Fonts
	made   []made
	items  []kitchen.Item
	boxing *boxing
	cups   []plate.Cup // of all plates, closed while they are printed

	sketch bool   // coarse, no engravings
	stage  string // that is at work
	settle func(context.Context, made) (settled, error)
}

func (b *build) head() Plan {
	digest := Digest(b.in, b.opt.Version)
	return Plan{
		Title: b.c.Title, Needed: b.c.Needed, Version: b.opt.Version,
		Revision: Code(digest), Digest: fmt.Sprintf("%x", digest),
		Assumed: append([]Assumed{}, b.in.Assumed...), Measured: append([]Measured{}, b.in.Measured...), Findings: []finding.Finding{},
		Pieces: []PlanPiece{}, Masters: []PlanMaster{}, Plates: []PlanPlate{},
		Silicone: PlanSilicone{Trays: []PlanPour{}}, Pour: emptyRubber(), Mould: PlanMould{Trays: []PlanMouldTray{}}, Chocolates: []PlanKind{}, Fillings: []PlanFilling{}, Kitchen: emptyKitchen(), Box: emptyBoxing(), Boxes: []PlanBox{},
		Calendar: emptyCalendar(), Shopping: emptyShopping(),
	}
}

func (b *build) found(list []finding.Finding) {
	b.r.Plan.Findings = append(b.r.Plan.Findings, list...)
	for range list {
		b.r.Stages = append(b.r.Stages, b.stage)
	}
}

// print is what printer and resin do to a part.
func (b *build) print() master.Print {
	p, r := b.c.Printer, b.c.Resin
	trim := plate.TrimOf(r) // parts are made before the plate's axes are stretched
	return master.Print{
		PlateWidthMM: (p.PlateWidthMM - 2*p.MarginMM) / (1 + trim.GrowX), PlateDepthMM: (p.PlateDepthMM - 2*p.MarginMM) / (1 + trim.GrowY), PlateHeightMM: p.PlateHeightMM,
		ResinShrink: r.Shrinkage.Likely, BleedMM: r.BleedMM.Likely, FootMM: r.FootMM.Likely, FootHeightMM: r.FootHeightMM, LayerMM: p.LayerMM,
	}
}

func (b *build) master(ctx context.Context) error {
	b.opt.Progress("master", 0, 1)
	letters := master.Sans(b.fonts)
	if b.sketch && b.c.Master.Build != "loose" { // a peg is nothing without its number
		letters = nil
	}
	m, list, err := master.Make(ctx, b.r.Items, b.c.Master, b.print(), b.r.Plan.Revision, letters)
	if err != nil {
		return err
	}
	var designs []string
	for _, p := range b.c.Pieces {
		if p.Names {
			designs = append(designs, p.Name)
		}
	}
	b.found(gather(list, designs))
	b.r.Master = m
	if m == nil {
		return nil
	}
	for _, t := range m.Trays {
		b.r.Plan.Masters = append(b.r.Plan.Masters, PlanMaster{
			Tray: t.Number, Tiles: len(t.Tiles), Pieces: len(t.Placed), WidthMM: t.WidthMM, DepthMM: t.DepthMM,
			HeightMM: b.c.Master.BaseMM + t.HighestMM, FrameMM: t.FrameMM, RubberMM: t.RubberMM,
			SolidVolumeMM3: t.SolidMM3, HollowMM3: t.HollowMM3, RubberMM3: t.RubberMM3,
		})
	}
	b.opt.Progress("master", 1, 1)
	return nil
}

func (b *build) plates(ctx context.Context) error {
	p, list, err := b.arrange(ctx)
	if err != nil {
		return err
	}
	b.found(list)
	b.r.Plates, b.r.Plan.PlanPrinting = p, planPrinting(p)
	for i := range p.Plates {
		b.opt.Progress("plate", i, len(p.Plates))
		pl, err := b.writePlate(ctx, &p.Plates[i])
		if err != nil {
			return err
		}
		b.r.Plan.Plates = append(b.r.Plan.Plates, pl)
	}
	b.found(plate.JudgeCups(b.cups, b.c.Plate.SuctionMM2))
	b.opt.Progress("plate", len(p.Plates), len(p.Plates))
	return nil
}

// made is one piece on its way to the master.
type made struct {
	design, row int
	item        master.Item
	plan        PlanPiece
	kitchen     kitchen.Item
	footprint   geom.Outline
	body        *kitchen.Body // of a design's first piece only
	bodyKey     [32]byte      // what the body depends on; of a sketch
	found       []finding.Finding
	stopped     bool
}

// ownFonts reads the font files that the job brings along, in the order of their names.
func ownFonts(in *Input) (*artwork.Fonts, error) {
	var own []*font.Font
	for _, name := range slices.Sorted(maps.Keys(in.Files)) {
		if !IsFontFile(name) {
			continue
		}
		f, err := font.Parse(name, in.Files[name])
		if err != nil {
			return nil, err
		}
		own = append(own, f)
	}
	return artwork.NewFonts(own...), nil
}

// pieceInputs is what a design takes from the job besides its choices.
func (b *build) pieceInputs(design int) piece.Inputs {
	c := b.c.Pieces[design]
	return piece.Inputs{Design: design, Files: b.in.Files, Fonts: b.fonts, DensityGML: b.c.Chocolate[c.Chocolate].DensityGML.Likely, FloorMM: b.c.Forecast.FloorMM}
}
