package master

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/geom"
)

// divide gives the tray its tiles: rectangles from cut, joined by keys, numbered as
// one reads.
func (l *layout) divide(ctx context.Context, t *Tray) error {
	rects, err := l.cut(ctx, *t)
	if err != nil {
		return err
	}
	if rects == nil {
		w, d := l.plate()
		b := l.base(t.WidthMM, t.DepthMM)
		l.stop(fmt.Sprintf("tray %d", t.Number), fmt.Sprintf("the base of %.1f x %.1f mm is larger than the build plate (%.1f x %.1f mm), and no straight cut runs between its pieces into parts that fit", b.W(), b.H(), w, d),
			"layout = \"grid\", a larger master.gap_mm, a smaller master.margin_mm or tray, or build = \"loose\"")
		return nil
	}
	slices.SortStableFunc(rects, func(a, b geom.Rect) int {
		return cmp.Or(cmp.Compare(b.Max.Y, a.Max.Y), cmp.Compare(a.Min.X, b.Min.X))
	})
	pieces := make([]geom.Outline, len(t.Placed))
	for i, p := range t.Placed {
		pieces[i] = p.At(l.items)
	}
	all, found := joints(rects, pieces, l.c, t.Number)
	l.found = append(l.found, found...)
	for _, j := range all {
		for _, s := range j.tabs {
			t.clearMM2 += j.outline(s, l.c.ClearMM).Area() - j.outline(s, 0).Area()
		}
	}
	for k, r := range rects {
		tile := Tile{Number: k + 1, Outline: tileOutline(rects, k, all, l.c.ClearMM)}
		for i, p := range t.Placed {
			if m := l.box(p).Center(); m.X >= r.Min.X && m.X < r.Max.X && m.Y >= r.Min.Y && m.Y < r.Max.Y {
				tile.Placed = append(tile.Placed, i)
			}
		}
		t.Tiles = append(t.Tiles, tile)
	}
	return nil
}

// plan lays out the pieces and divides the trays; no mesh is made yet.
func plan(ctx context.Context, items []Item, c Choices, print Print) ([]Tray, []finding.Finding, error) {
	trays, l, err := layOut(ctx, items, c, print)
	if err != nil || finding.Worst(l.found) == finding.Stop {
		return nil, l.found, err
	}
	for i := range trays {
		if err := l.divide(ctx, &trays[i]); err != nil {
			return nil, l.found, err
		}
	}
	return trays, l.found, nil
}
