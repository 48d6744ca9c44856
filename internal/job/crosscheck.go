package job

import (
	"errors"
	"fmt"
	"reflect"
	"strings"
	"time"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/flow"
)

// crossCheck holds keys against each other, once each is sound alone.
func (b *binder) crossCheck(c *flow.Choices) {
	if d := time.Date(c.Needed.Year, time.Month(c.Needed.Month), c.Needed.Day, 0, 0, 0, 0, time.UTC); d.Day() != c.Needed.Day {
		b.fail("needed", "no such day: "+c.Needed.String(), "a day of the calendar", "count the days of that month again")
	}
	if len(c.Pieces) == 0 {
		b.fail("piece", "no piece", "at least one", "add a [[piece]] table")
	}
	p := c.Printer
	if 2*p.MarginMM >= min(p.PlateWidthMM, p.PlateDepthMM) {
		b.fail("printer.margin_mm", fmt.Sprintf("margins of %g mm leave nothing of the plate", p.MarginMM), fmt.Sprintf("less than %g", min(p.PlateWidthMM, p.PlateDepthMM)/2), "narrow it, or see that plate_width_mm and plate_depth_mm are in mm")
	}
	if c.PitchMM > 0 && c.PitchMM > 2*p.PixelMM {
		b.fail("pitch_mm", fmt.Sprintf("%g mm is coarser than two of the printer's pixels", c.PitchMM), fmt.Sprintf("at most %g", 2*p.PixelMM), "take the key out: half a pixel is then used")
	}
	if c.Box.Rows > 0 && c.Label.Rules == "" {
		b.table("label", reflect.ValueOf(&c.Label).Elem(), nil)
	}
	b.checkCalendar(c)
	hasNames := c.Names.File != "" || len(c.Names.List) > 0 || len(c.Names.Rows) > 0
	seen := map[string]int{}
	for i := range c.Pieces {
		b.checkPiece(c, i, hasNames, seen)
	}
}

// checkCalendar reads the free hours, the days and the zone.
func (b *binder) checkCalendar(c *flow.Choices) {
	var e *finding.Error
	if errors.As(c.Calendar.Check(), &e) {
		b.fail(e.Key, e.Found, e.Allowed, e.Do)
	}
}

func (b *binder) checkPiece(c *flow.Choices, i int, hasNames bool, seen map[string]int) {
	p := &c.Pieces[i]
	at := fmt.Sprintf("piece[%d]", i+1)
	if first, twice := seen[p.Name]; twice {
		b.fail(at+".name", fmt.Sprintf("%q is also the name of piece %d", p.Name, first), "each piece its own name", "give one of them another name")
	}
	seen[p.Name] = i + 1
	if strings.TrimSpace(p.Name) == "" {
		b.fail(at+".name", "an empty name", "a name for the sheets", "write what the sheets shall call it")
	}
	if _, ok := c.Chocolate[p.Chocolate]; !ok {
		b.fail(at+".chocolate", fmt.Sprintf("no chocolate %q", p.Chocolate), strings.Join(sortedKeys(c.Chocolate), ", "), "add a table [chocolate."+p.Chocolate+"]")
	}
	if _, ok := c.Filling[p.Filling]; p.Filling != "" && !ok {
		b.fail(at+".filling", fmt.Sprintf("no filling %q", p.Filling), strings.Join(sortedKeys(c.Filling), ", "), "add a table [filling."+p.Filling+"]")
	}
	if p.Names && !hasNames {
		b.fail(at+".names", "wants a name list, but the job has none", "", "add [names] with file, list or rows")
	}
	if needs := p.Outline == "file" || p.Outline == "mesh"; needs != (p.File != "") {
		b.fail(at+".file", fmt.Sprintf("outline %q and file %q do not belong together", p.Outline, p.File), "a file for the outlines file and mesh, none for others", map[bool]string{true: "add file = \"…\", or choose another outline", false: "take file out, or write outline = \"file\" or \"mesh\""}[needs])
	}
	hasText := false
	for k := range p.Art {
		a, key := &p.Art[k], fmt.Sprintf("%s.art[%d]", at, k+1)
		if (a.Text == "") == (a.File == "") {
			b.fail(key, "needs either text or file", "one of the two", map[bool]string{true: "add text or file", false: "take one of them out"}[a.Text == ""])
		}
		if strings.Contains(a.Text, "{") && !p.Names && strings.Contains(a.Text, "}") && !strings.Contains(a.Text, "{{") {
			b.fail(key+".text", fmt.Sprintf("%q holds a variable, but the piece is not one for each name", a.Text), "", "set names = true in the piece, or write {{ for a brace")
		}
		hasText = hasText || a.Text != ""
	}
	if p.Outline == "text" && !hasText {
		b.fail(at+".outline", "text, but the piece has no text", "", "add a [[piece.art]] with text")
	}
}
