package flow

import (
	"context"
	"crypto/sha256"
	"encoding/json"
	"fmt"
	"math"
	"runtime"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/svg"
	"mouldwright/internal/flow/cavity"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/piece"
)

// sketchPitchMM is the pitch of a sketch (our choice: the finest at which a piece, its room for
// filling and its surface are made within 100 ms on two cores). A piece wider than
// sketchSamples of it is sketched with so many samples.
const (
	sketchPitchMM = 0.12
	sketchSamples = 450
)

// sketchTolMM is how far a sketched surface may lie off its relief (our choice: no eye
// sees it on a screen).
const sketchTolMM = 0.05

// Sketcher computes a job coarsely and again after each change, for a page that shows
// what follows from an edit while it is made. What an edit leaves alone is kept.
type Sketcher struct {
	version  string
	drawings *memo[drawing]
	designs  *memo[prepared]
	hollows  *memo[*shape]
	shapes   *memo[*shape]
	fine     *memo[*shape]
	foreseen *memo[*Foreseen]
	settings *memo[settled]
}

type drawing struct {
	d    *svg.Drawing
	list []finding.Finding
}

// prepared is a design that is ready for its rows, nil after a finding that says stop.
type prepared struct {
	design *piece.Design
	list   []finding.Finding
}

// Limits of what is kept, in bytes, estimated (our choice: a fine design of 40 mm takes 80 MB,
// and all together stay within a laptop's gigabyte).
const (
	keptDrawings = 64 << 20
	keptDesigns  = 400 << 20
	keptHollows  = 48 << 20
	keptShapes   = 400 << 20
	keptSettings = 4 << 20
	keptFine     = 96 << 20
	keptForeseen = 64 << 20
)

// NewSketcher makes a sketcher for the program version that stands in revisions.
func NewSketcher(version string) *Sketcher {
	return &Sketcher{version, newMemo[drawing](keptDrawings), newMemo[prepared](keptDesigns), newMemo[*shape](keptHollows), newMemo[*shape](keptShapes), newMemo[*shape](keptFine), newMemo[*Foreseen](keptForeseen), newMemo[settled](keptSettings)}
}

// Sketch computes the numbers of all stages and the layout of the trays. Parts carry
// no engraving and no plate is written; Plan.Plates have neither file nor digest.
func (s *Sketcher) Sketch(ctx context.Context, in *Input) (*Result, error) {
	b, err := s.begin(in, true)
	if err != nil {
		return nil, err
	}
	return b.run(ctx, s.pieces(b), b.nest)
}

// Hollow is one piece with its room for filling.
type Hollow struct {
	Piece    *piece.Piece
	Cavity   *cavity.Cavity
	Plan     PlanPiece
	Findings []finding.Finding
}

// Piece makes one piece, at the job's own pitch as a build does (fine) or at a
// sketch's. design counts from 0; row is -1 for a piece without names. Piece and Cavity are nil when a
// finding says stop. They are shared and must not be changed.
func (s *Sketcher) Piece(ctx context.Context, in *Input, design, row int, fine bool) (*Hollow, error) {
	b, err := s.begin(in, !fine)
	if err != nil {
		return nil, err
	}
	d, key, err := s.design(ctx, b, design)
	if err != nil {
		return nil, err
	}
	h := &Hollow{Findings: d.list}
	if d.design == nil {
		return h, nil
	}
	sh, err := s.hollow(ctx, b, d.design, key, design, row)
	if err != nil {
		return nil, err
	}
	h.Findings = append(append([]finding.Finding{}, d.list...), sh.made.found...)
	if sh.made.stopped {
		return h, nil
	}
	own := *sh
	b.measure(&own, b.c.Pieces[design])
	h.Findings = append(h.Findings, b.undercuts(&own)...)
	h.Piece, h.Cavity, h.Plan = own.piece, own.cavity, own.made.plan
	return h, nil
}

// PieceKey tells apart what Piece depends on: equal keys, equal pieces and numbers.
func (s *Sketcher) PieceKey(in *Input, design, row int, fine bool) (string, error) {
	b, err := s.begin(in, !fine)
	if err != nil {
		return "", err
	}
	c := b.c.Pieces[design]
	k := b.hollowKey(b.designKey(design), design, row)
	return fmt.Sprintf("%x", keyOf(k, c, b.c.Chocolate[c.Chocolate], b.c.Filling[c.Filling], b.c.Silicone, b.c.Mould.Safety)), nil
}

func (s *Sketcher) begin(in *Input, sketch bool) (*build, error) {
	b := &build{in: in, c: &in.Choices, opt: Options{Version: s.version, Progress: func(string, int, int) {}}, sketch: sketch}
	b.r = &Result{Choices: b.c}
	var err error
	b.fonts, err = ownFonts(in)
	b.settle = s.chillSketch(b)
	return b, err
}

func (s *Sketcher) pieces(b *build) func(context.Context) error {
	return func(ctx context.Context) error {
		b.r.Plan = b.head()
		if err := b.deal(ctx); err != nil {
			return err
		}
		type work struct {
			design, row int
			prepared    prepared
			key         [32]byte
		}
		var all []work
		err := inOrder(ctx, len(b.c.Pieces), runtime.GOMAXPROCS(0), func(ctx context.Context, i int) (work, error) {
			d, key, err := s.design(ctx, b, i)
			return work{i, -1, d, key}, err
		}, func(i int, w work) error {
			b.found(w.prepared.list)
			if w.prepared.design == nil {
				return nil
			}
			for _, w.row = range b.rowsOf(i) {
				all = append(all, w)
			}
			return nil
		})
		if err != nil || finding.Worst(b.r.Plan.Findings) == finding.Stop {
			return err
		}
		if len(all) > maxPieces {
			return tooMany(len(all))
		}
		return inOrder(ctx, len(all), runtime.GOMAXPROCS(0), func(ctx context.Context, k int) (*shape, error) {
			return s.shape(ctx, b, all[k].prepared.design, all[k].key, all[k].design, all[k].row)
		}, func(k int, kept *shape) error {
			own, c := *kept, b.counting(all[k].design, all[k].row)
			b.found(own.made.found)
			if own.made.stopped {
				return nil
			}
			own.made.item.Cavities = Cavities(c)
			b.measure(&own, c)
			own.made.plan.AirPockets = append(own.made.plan.AirPockets, own.hollow...)
			b.found(b.undercuts(&own))
			b.take(own.made)
			return nil
		})
	}
}

// design is a design at the build's pitch, and the key of what it depends on.
func (s *Sketcher) design(ctx context.Context, b *build, i int) (prepared, [32]byte, error) {
	key := b.designKey(i)
	d, err := s.designs.get(ctx, key, func() (prepared, int64, error) {
		in := b.pieceInputs(i)
		in.ReadSVG = s.readSVG
		d, list, err := piece.Prepare(ctx, b.c.Pieces[i], in, b.pitchMM(i))
		return prepared{d, list}, b.designWeight(i), inDesign(i, err)
	})
	return d, key, err
}

// readSVG is svg.Read that keeps what it read.
func (s *Sketcher) readSVG(ctx context.Context, name string, data []byte) (*svg.Drawing, []finding.Finding, error) {
	v, err := s.drawings.get(ctx, keyOf(name, sha256.Sum256(data)), func() (drawing, int64, error) {
		d, list, err := svg.Read(ctx, name, data)
		return drawing{d, list}, int64(4 * len(data)), err
	})
	return v.d, v.list, err
}

// hollow is a piece with its cavity; of fine ones only the latest are kept.
func (s *Sketcher) hollow(ctx context.Context, b *build, d *piece.Design, design [32]byte, i, row int) (*shape, error) {
	create := func() (*shape, int64, error) {
		sh, err := b.hollow(ctx, d, made{design: i, row: row}, b.row(row))
		if err != nil || sh.piece == nil {
			return sh, 1 << 10, err
		}
		w := int64(4 * len(sh.piece.Relief.Z))
		if sh.cavity != nil && sh.cavity.Filling != nil {
			w += int64(4 * len(sh.cavity.Filling.Z))
		}
		return sh, w, nil
	}
	if !b.sketch { // the forecast of a piece follows its shape
		return s.fine.get(ctx, b.hollowKey(design, i, row), create)
	}
	return s.hollows.get(ctx, b.hollowKey(design, i, row), create)
}

// shape is a sketched piece as it stands on the master, its reliefs dropped.
func (s *Sketcher) shape(ctx context.Context, b *build, d *piece.Design, design [32]byte, i, row int) (*shape, error) {
	m := b.c.Master
	first := row == b.firstRow(i)
	key := keyOf(b.hollowKey(design, i, row), m.FilletMM, m.GapMM, b.c.Silicone.Shrinkage.Likely, b.c.Resin.BleedMM.Likely, b.c.Forecast.PocketMM, first)
	return s.shapes.get(ctx, key, func() (*shape, int64, error) {
		full, err := s.hollow(ctx, b, d, design, i, row)
		if err != nil || full.made.stopped {
			return full, 1 << 10, err
		}
		sh := *full
		if err := b.surface(ctx, &sh, sketchTolMM); err != nil {
			return nil, 0, err
		}
		weight := int64(24 * (len(sh.made.item.Sheet.V) + len(sh.made.item.Sheet.T)))
		if first {
			if sh.made.body, err = b.body(ctx, &sh); err != nil {
				return nil, 0, inDesign(i, err)
			}
			sh.made.bodyKey, weight = key, weight+1<<20
		}
		hollows, err := forecast.RubberPockets(ctx, sh.piece.Relief, b.c.Forecast)
		if err != nil {
			return nil, 0, inDesign(i, err)
		}
		sh.hollow = planPockets("rubber", hollows)
		p, c := *sh.piece, *sh.cavity
		p.Relief, c.Filling = nil, nil
		sh.piece, sh.cavity = &p, &c
		return &sh, weight, nil
	})
}

func (b *build) row(k int) Row {
	if k < 0 || k >= len(b.in.Rows) {
		return Row{}
	}
	return b.in.Rows[k]
}

// designKey is the hash of all that Prepare depends on.
func (b *build) designKey(i int) [32]byte {
	c := b.c.Pieces[i]
	c.Count, c.Cavities, c.Chocolate, c.Filling = 0, 0, "", ""
	density, files := 0.0, map[string][32]byte{}
	if c.WeightG > 0 {
		density = b.pieceInputs(i).DensityGML
	}
	used := map[string]bool{c.File: true}
	for _, a := range c.Art {
		used[a.File] = true
	}
	for n, data := range b.in.Files {
		if used[n] || IsFontFile(n) { // any font of one's own may lend a letter
			files[n] = sha256.Sum256(data)
		}
	}
	return keyOf(i, c, density, b.pitchMM(i), files, b.c.Forecast.FloorMM)
}

func (b *build) hollowKey(design [32]byte, i, row int) [32]byte {
	return keyOf(design, row, b.row(row), b.c.Shell, b.c.Pieces[i].Filling == "")
}

// designWeight estimates the bytes of a prepared design: body, distance, and a relief
// for each piece of art.
func (b *build) designWeight(i int) int64 {
	c, p := b.c.Pieces[i], b.pitchMM(i)
	d := math.Max(c.DepthMM, 0.8*c.WidthMM)
	return int64(4 * c.WidthMM * d / (p * p) * float64(2+len(c.Art)))
}

// nest puts the parts on plates and writes none.
func (b *build) nest(ctx context.Context) error {
	p, list, err := b.arrange(ctx)
	if err != nil {
		return err
	}
	b.found(list)
	b.r.Plates, b.r.Plan.PlanPrinting = p, planPrinting(p)
	for i := range p.Plates {
		pl := planPlate(&p.Plates[i])
		for _, it := range p.Plates[i].Items {
			pl.Parts = append(pl.Parts, copyName(&b.r.Master.Parts[it.Part], it.Copy))
		}
		b.r.Plan.Plates = append(b.r.Plan.Plates, pl)
	}
	return nil
}

// keyOf is the SHA-256 of values as JSON, whose maps are in the order of their keys.
func keyOf(values ...any) (sum [32]byte) {
	h := sha256.New()
	enc := json.NewEncoder(h)
	for _, v := range values {
		if err := enc.Encode(v); err != nil {
			panic("flow: a key that JSON cannot hold: " + err.Error())
		}
	}
	h.Sum(sum[:0])
	return sum
}
