package piece

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/relief"
)

// Design is a design made ready for its rows: its body, and the art that is the
// same on all of them. Piece may be called from several goroutines.
type Design struct {
	choices Choices // sizes already scaled to the weight
	in      Inputs
	pitchMM float64
	scale   float64
	row     map[string]string // the one row of a design whose footprint is that row's text
	body    *body             // nil when the footprint is the outline of a row's own text
	fixed   []layer           // one for each art; empty where the art changes with the row
}

// Make makes one piece: Prepare and Piece in one. row holds the variables of the name
// list's row with the given index, -1 for a piece without names.
//
// The piece is nil when a finding says stop.
func Make(ctx context.Context, c Choices, in Inputs, row map[string]string, rowIndex int, pitchMM float64) (*Piece, []finding.Finding, error) {
	d, list, err := Prepare(ctx, c, in, pitchMM)
	if err != nil || d == nil {
		return nil, list, err
	}
	p, more, err := d.Piece(ctx, row, rowIndex)
	return p, append(list, more...), err
}

// Prepare makes what all rows of a design share. With weight_g it finds the scale:
// for a piece without names with all its art; else for the body and the art that is
// the same in all rows, so that all rows are equally large and names add their own
// weight. The design is nil when a finding says stop.
func Prepare(ctx context.Context, c Choices, in Inputs, pitchMM float64) (*Design, []finding.Finding, error) {
	if !(pitchMM >= 0.001 && pitchMM <= 2) {
		return nil, nil, &finding.Error{Key: "pitch_mm", Found: fmt.Sprint(pitchMM), Allowed: "0.001 to 2", Do: "take the key out: half the printer's pixel is then used"}
	}
	if err := check(c, in); err != nil {
		return nil, nil, err
	}
	d := &Design{choices: c, in: in, pitchMM: pitchMM, scale: 1}
	if c.WeightG > 0 && !d.ownFootprint() {
		if stop, err := d.weigh(ctx); err != nil || stop != nil {
			return nil, stop, err
		}
	}
	list, err := d.prepare(ctx)
	if err != nil || finding.Worst(list) == finding.Stop {
		return nil, list, err
	}
	if c.WeightG > 0 && slices.ContainsFunc(c.Art, d.varies) && !d.ownFootprint() {
		list = append(list, finding.Finding{Severity: finding.Note, Where: in.key("weight_g"),
			What: fmt.Sprintf("%g g is met without the art that changes with the name: all pieces have one size, each name adds its own weight", c.WeightG)})
	}
	return d, list, nil
}

// prepare makes body and fixed art at the design's present scale and pitch.
func (d *Design) prepare(ctx context.Context) (list []finding.Finding, err error) {
	d.body, d.fixed = nil, nil
	if d.ownFootprint() {
		return nil, nil
	}
	var more []finding.Finding
	if d.body, list, err = makeBody(ctx, d.choices, d.in, d.row, d.pitchMM); err != nil || d.body == nil {
		return list, err
	}
	d.fixed = make([]layer, len(d.choices.Art))
	for i, a := range d.choices.Art {
		if d.varies(a) {
			continue
		}
		if d.fixed[i], more, err = makeLayer(ctx, d.choices, i, d.in, d.row, d.body, d.pitchMM); err != nil {
			return list, err
		}
		list = append(list, more...)
	}
	return list, nil
}

// Piece makes the piece of one row. The piece is nil when a finding says stop. For a
// piece with names every finding and refusal also tells the name.
func (d *Design) Piece(ctx context.Context, row map[string]string, rowIndex int) (*Piece, []finding.Finding, error) {
	p, list, err := d.make(ctx, row, rowIndex)
	if d.choices.Names {
		whose := " (" + label(row, rowIndex) + ")"
		for i := range list {
			list[i].Where += whose
		}
		var refusal *finding.Error
		if errors.As(err, &refusal) {
			named := *refusal
			named.Key += whose
			err = &named
		}
	}
	return p, list, err
}

func (d *Design) make(ctx context.Context, row map[string]string, rowIndex int) (*Piece, []finding.Finding, error) {
	if d.ownFootprint() {
		return d.ownPiece(ctx, row, rowIndex)
	}
	var list []finding.Finding
	layers := slices.Clone(d.fixed)
	for i, a := range d.choices.Art {
		if !d.varies(a) {
			continue
		}
		l, more, err := makeLayer(ctx, d.choices, i, d.in, row, d.body, d.pitchMM)
		if err != nil {
			return nil, nil, err
		}
		layers[i] = l
		list = append(list, more...)
	}
	if finding.Worst(list) == finding.Stop {
		return nil, list, nil
	}
	p, err := d.join(ctx, layers)
	if err != nil {
		return nil, list, err
	}
	d.name(p, row, rowIndex)
	return p, list, nil
}

// ownPiece makes a piece whose footprint is the row's own text: nothing is shared.
func (d *Design) ownPiece(ctx context.Context, row map[string]string, rowIndex int) (*Piece, []finding.Finding, error) {
	own := *d
	if own.row = row; row == nil {
		own.row = map[string]string{}
	}
	if own.choices.WeightG > 0 {
		if stop, err := own.weigh(ctx); err != nil || stop != nil {
			return nil, stop, err
		}
	}
	list, err := own.prepare(ctx)
	if err != nil || own.body == nil || finding.Worst(list) == finding.Stop {
		return nil, list, err
	}
	p, err := own.join(ctx, own.fixed)
	if err != nil {
		return nil, list, err
	}
	d.name(p, row, rowIndex)
	return p, list, nil
}

// name writes whose piece it is.
func (d *Design) name(p *Piece, row map[string]string, rowIndex int) {
	p.Name, p.Row = d.choices.Name, -1
	if d.choices.Names {
		p.Row = rowIndex
		p.Name += ": " + label(row, rowIndex)
	}
}

// ownFootprint says whether each row has a footprint of its own.
func (d *Design) ownFootprint() bool {
	if d.choices.Outline != "text" {
		return false
	}
	i := firstText(d.choices)
	return i >= 0 && d.varies(d.choices.Art[i])
}

// firstText is the index of the first art that is text, -1 without one.
func firstText(c Choices) int {
	return slices.IndexFunc(c.Art, func(a artwork.Choices) bool { return a.Text != "" })
}

// varies says whether the art must be made anew for each row.
func (d *Design) varies(a artwork.Choices) bool {
	return d.choices.Names && d.row == nil && artwork.HasVariable(a.Text)
}

// label is what tells a row apart: its name, else its number. What cannot be printed
// shows as a replacement character.
func label(row map[string]string, index int) string {
	if n := row["name"]; n != "" {
		return strings.Map(func(r rune) rune {
			if !unicode.IsPrint(r) {
				return unicode.ReplacementChar
			}
			return r
		}, n)
	}
	return fmt.Sprintf("row %d", index+1)
}

// join puts all art on the body: the highest of the raised above it, the deepest of
// the sunk into it.
func (d *Design) join(ctx context.Context, layers []layer) (*Piece, error) {
	b := d.body
	z := field.New(b.relief.Grid)
	copy(z.Z, b.relief.Z)
	for _, side := range []string{"raised", "sunk"} {
		var reliefs []*field.Field
		for _, l := range layers {
			if l.relief != nil && l.side == side {
				reliefs = append(reliefs, l.relief)
			}
		}
		all, err := relief.Union(reliefs...)
		if err != nil {
			return nil, err
		}
		if all == nil {
			continue
		}
		sign := float32(1)
		if side == "sunk" {
			sign = -1
		}
		i0, j0, err := relief.At(z.Grid, all.Grid)
		if err != nil {
			return nil, err
		}
		if err := field.ForRows(ctx, all.H, func(ja, jb int) {
			for j := ja; j < jb; j++ {
				dst := z.Row(j0 + j)[i0 : i0+all.W]
				for i, h := range all.Row(j) {
					dst[i] += sign * h
				}
			}
		}); err != nil {
			return nil, err
		}
	}
	m, err := measure(ctx, z)
	if err != nil {
		return nil, err
	}
	p := &Piece{
		Design: d.in.Design, Footprint: b.outline, Relief: z, Body: b.relief,
		BodyMM: b.heightMM, HeightMM: m.heightMM,
		VolumeMM3: m.volumeMM3, MinDraftDeg: m.minDraftDeg, Scale: d.scale,
	}
	if b.undercut.VolumeMM3 > 0 {
		p.Undercuts = append(p.Undercuts, Undercut{-1, b.undercut})
	}
	for i, l := range layers {
		if l.undercut.VolumeMM3 > 0 {
			p.Undercuts = append(p.Undercuts, Undercut{i, l.undercut})
		}
		for _, k := range l.letters {
			p.Letters = append(p.Letters, Letter{i, k})
		}
	}
	return p, nil
}

// coarseMM is the pitch at which a weight is first looked for (our choice: some
// hundred thousand samples are quickly weighed).
const coarseMM = 0.1

// weighTolerance is how near the weight is brought to what was asked; a tenth of what
// is promised (0.1 %), so that the rest is left to sampling.
const weighTolerance = 1e-4

// weigh scales the choices until the piece weighs what is asked. All sizes, the art's
// too, grow alike, so the volume goes with the cube of the scale but for sampling and
// whatever does not scale; a few steps from a coarse to the final pitch are enough.
func (d *Design) weigh(ctx context.Context) ([]finding.Finding, error) {
	if !(d.in.DensityGML >= 0.5 && d.in.DensityGML <= 2) {
		return nil, &finding.Error{Key: d.in.key("weight_g"), Found: fmt.Sprintf("a chocolate of %g g/ml", d.in.DensityGML), Allowed: "0.5 to 2 g/ml", Do: "mend density_g_ml of its chocolate"}
	}
	target := d.choices.WeightG / d.in.DensityGML * 1000
	first, pitch := d.choices, d.pitchMM
	defer func() { d.pitchMM = pitch }()
	scale := 1.0
	for _, p := range []float64{coarseMM, coarseMM, pitch, pitch, pitch, pitch} {
		d.pitchMM = math.Max(p, pitch)
		d.choices, d.scale = scaled(first, scale), scale
		list, err := d.prepare(ctx)
		if err != nil || finding.Worst(list) == finding.Stop {
			return list, err
		}
		volume, err := d.volume(ctx)
		if err != nil {
			return nil, err
		}
		if p == pitch && math.Abs(volume/target-1) < weighTolerance {
			return nil, nil
		}
		scale *= math.Cbrt(target / volume)
		if !(scale >= 0.1 && scale <= 10) {
			return []finding.Finding{d.in.stop("weight_g",
				fmt.Sprintf("%g g needs sizes %.2f times as large, allowed are 0.1 to 10 times", first.WeightG, scale),
				"set width_mm and height_mm nearer to what you want")}, nil
		}
	}
	return nil, &finding.Error{Key: d.in.key("weight_g"), Found: fmt.Sprintf("no size weighs %g g", first.WeightG), Do: "leave weight_g out and set the sizes"}
}

// volume is that of the body with its fixed art.
func (d *Design) volume(ctx context.Context) (float64, error) {
	p, err := d.join(ctx, d.fixed)
	if err != nil {
		return 0, err
	}
	return p.VolumeMM3, nil
}

// scaled multiplies every size of a design, its art's too.
func scaled(c Choices, f float64) Choices {
	for _, v := range []*float64{&c.WidthMM, &c.DepthMM, &c.CornerMM, &c.MarginMM, &c.HeightMM, &c.EdgeMM, &c.RiseMM} {
		*v *= f
	}
	c.Art = slices.Clone(c.Art)
	for i := range c.Art {
		a := &c.Art[i]
		for _, v := range []*float64{&a.ArcRadiusMM, &a.WidthMM, &a.HeightMM, &a.XMM, &a.YMM, &a.DepthMM} {
			*v *= f
		}
	}
	return c
}
