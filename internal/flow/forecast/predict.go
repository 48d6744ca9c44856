package forecast

import (
	"context"
	"slices"

	"mouldwright/internal/base/field"
	"mouldwright/internal/flow/piece"
)

// copied is the art after printing, coating and filling, without the steps of the
// layers; on the same grid as the art. It is about the art alone: the body is smooth
// against a pixel, and a symmetric blur leaves a plane where it is.
func copied(ctx context.Context, art *field.Field, bodyMM float64, m Means, c Choices) (*field.Field, error) {
	a, err := exposed(ctx, art, m.Printer.PixelMM, c.LightMM, c.LightShare)
	if err != nil {
		return nil, err
	}
	if a, err = coated(ctx, a, c.CoatMM); err != nil {
		return nil, err
	}
	return entered(ctx, a, entryPerMM(bodyMM, m, c))
}

// Predict is the relief that the chocolate will have: on the drawn one's grid, in mm
// above the back, with the layers' steps as far as the coat does not level them. The
// likely shrinkages are made up for in the master. Heights where the piece has none
// stay 0.
func Predict(ctx context.Context, p *piece.Piece, m Means, c Choices) (*field.Field, error) {
	z, err := Smooth(ctx, p, m, c)
	if err != nil {
		return nil, err
	}
	return z, layered(ctx, z, m.Printer.LayerMM, c.CoatMM)
}

// Layered is a copy of heights with the steps of layers, as far as a coat does not
// level them.
func Layered(ctx context.Context, smooth *field.Field, layerMM, coatMM float64) (*field.Field, error) {
	z := field.New(smooth.Grid)
	copy(z.Z, smooth.Z)
	return z, layered(ctx, z, layerMM, coatMM)
}

// Smooth is Predict without the steps of the layers.
func Smooth(ctx context.Context, p *piece.Piece, m Means, c Choices) (*field.Field, error) {
	if err := check(p, m, c); err != nil {
		return nil, err
	}
	z := field.New(p.Relief.Grid)
	copy(z.Z, p.Relief.Z)
	if art := drawnArt(p); art != nil {
		made, err := copied(ctx, art, p.BodyMM, m, c)
		if err != nil {
			return nil, err
		}
		for i := range made.Z {
			made.Z[i] -= art.Z[i]
		}
		z.Add(made)
	}
	return z, nil
}

// Difference is how far the predicted relief lies above the drawn one, in µm.
func Difference(drawn, predicted *field.Field) *field.Field {
	d := field.New(drawn.Grid)
	for i, z := range drawn.Z {
		d.Z[i] = 1000 * (predicted.Z[i] - z)
	}
	return d
}

// leastDifferenceUM is what is called a difference (our choice: less is rounding).
const leastDifferenceUM = 0.1

// Reach is between what all but a hundredth of the samples of a difference lie, on either
// side, of those that differ; 0, 0 where none does. In µm, as the difference.
func Reach(d *field.Field) (low, high float64) {
	var list []float32
	for _, v := range d.Z {
		if v > leastDifferenceUM || v < -leastDifferenceUM {
			list = append(list, v)
		}
	}
	if len(list) == 0 {
		return 0, 0
	}
	slices.Sort(list)
	n := len(list) / 100
	return min(0, float64(list[n])), max(0, float64(list[len(list)-1-n]))
}
