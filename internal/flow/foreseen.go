package flow

import (
	"context"
	"fmt"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/piece"
)

// Foreseen is one piece as it will come out, at the job's own pitch.
type Foreseen struct {
	Piece    *piece.Piece // as drawn
	Smooth   *field.Field // as it will come out but for the steps of the layers, in mm above the back
	Stepped  *field.Field // with them
	Plan     PlanPiece
	Findings []finding.Finding // of the forecast alone; those of its shape when it has none
}

// Foresee makes one piece and follows it through its copies. design counts from 0; row
// is -1 for a piece without names. Piece and fields are nil when a finding says stop.
// They are shared and must not be changed.
func (s *Sketcher) Foresee(ctx context.Context, in *Input, design, row int) (*Foreseen, error) {
	b, err := s.begin(in, false)
	if err != nil {
		return nil, err
	}
	return s.foreseen.get(ctx, b.forecastKey(design, row), func() (*Foreseen, int64, error) {
		f, err := s.foresee(ctx, b, design, row)
		if err != nil || f.Piece == nil {
			return f, 1 << 10, err
		}
		return f, int64(4 * (len(f.Smooth.Z) + len(f.Stepped.Z) + len(f.Piece.Relief.Z))), nil
	})
}

func (s *Sketcher) foresee(ctx context.Context, b *build, design, row int) (*Foreseen, error) {
	d, key, err := s.design(ctx, b, design)
	if err != nil {
		return nil, err
	}
	if d.design == nil {
		return &Foreseen{Findings: d.list}, nil
	}
	sh, err := s.hollow(ctx, b, d.design, key, design, row)
	if err != nil {
		return nil, err
	}
	if sh.made.stopped {
		return &Foreseen{Findings: append(append([]finding.Finding{}, d.list...), sh.made.found...)}, nil
	}
	own := *sh
	own.made.found = nil
	b.measure(&own, b.c.Pieces[design])
	if err := b.foresee(ctx, &own); err != nil {
		return nil, err
	}
	f := &Foreseen{Piece: own.piece, Plan: own.made.plan, Findings: own.made.found}
	if f.Smooth, err = forecast.Smooth(ctx, own.piece, b.c.Means(design), b.c.Forecast); err != nil {
		return nil, inDesign(design, err)
	}
	f.Stepped, err = forecast.Layered(ctx, f.Smooth, b.c.Printer.LayerMM, b.c.Forecast.CoatMM)
	return f, err
}

// ForecastKey tells apart what Foresee depends on: equal keys, equal answers.
func (s *Sketcher) ForecastKey(in *Input, design, row int) (string, error) {
	b, err := s.begin(in, false)
	if err != nil {
		return "", err
	}
	return fmt.Sprintf("%x", b.forecastKey(design, row)), nil
}

func (b *build) forecastKey(design, row int) [32]byte {
	c := b.c.Pieces[design]
	k := b.hollowKey(b.designKey(design), design, row)
	return keyOf("forecast", k, c, b.c.Chocolate[c.Chocolate], b.c.Filling[c.Filling], b.c.Forecast, b.c.Printer, b.c.Resin, b.c.Silicone, b.c.Mould.Safety)
}
