package coupon

import (
	"context"
	"fmt"
	"math"
	"testing"

	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/artwork"
	"mouldwright/internal/flow/master"
	"mouldwright/internal/flow/pour"
)

func work(t testing.TB) Work {
	t.Helper()
	var w Work
	for _, err := range []error{
		func() error { _, err := w.Printer.StartFrom("small plate"); return err }(),
		func() error { _, err := w.Resin.StartFrom("rigid grey resin"); return err }(),
		func() error { _, err := w.Silicone.StartFrom("soft food-grade rubber"); return err }(),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	w.Fonts = artwork.NewFonts()
	w.Master = master.Choices{BaseMM: 3, MarginMM: 8, OverMM: 9, FilletMM: 0.4}
	w.Pads = pour.TestChoices{PadMM: 20, RubberMM: unit.Between(2, 3, 4)}
	w.Tests = []pour.CureTest{{Resin: "grey", Treatment: "washed", Coating: "none"}, {Resin: "grey", Treatment: "washed", Coating: "lacquer"}}
	return w
}

func TestEveryCouponIsAClosedSolidThatFitsASmallPlate(t *testing.T) {
	list, err := Make(context.Background(), work(t))
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 7 {
		t.Fatalf("%d coupons", len(list))
	}
	small := material.Printers["small plate"].Value
	for _, c := range list {
		if err := c.Mesh.Check().Err(); err != nil {
			t.Errorf("%s: %v", c.Name, err)
		}
		if c.WidthMM > small.PlateWidthMM-2*small.MarginMM || c.DepthMM > small.PlateDepthMM-2*small.MarginMM {
			t.Errorf("%s: %.1f x %.1f mm does not fit a small plate", c.Name, c.WidthMM, c.DepthMM)
		}
		t.Log(fmt.Sprintf("%s: %.1f x %.1f x %.1f mm, %.0f mm3, %d triangles", c.Name, c.WidthMM, c.DepthMM, c.HeightMM, c.VolumeMM3, len(c.Mesh.T)))
	}
	_ = math.Pi
}
