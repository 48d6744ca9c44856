package flow

import (
	"mouldwright/internal/base/material"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow/box"
	"mouldwright/internal/flow/calendar"
	"mouldwright/internal/flow/forecast"
	"mouldwright/internal/flow/kitchen"
	"mouldwright/internal/flow/mould"
	"mouldwright/internal/flow/plate"
	"mouldwright/internal/flow/pour"
	"mouldwright/internal/flow/shopping"
)

// ShapeDigest is the SHA-256 of what shapes the printed parts: Digest without prices,
// free hours, rubber but for its shrinkage, kitchen, words on labels and whatever else
// is known to leave every part as it is. Two jobs of one digest print the same parts but
// for the engraved code. What is not known to be without effect is taken to have one.
func ShapeDigest(in *Input, version string) [32]byte {
	c := in.Choices
	c.Title, c.Needed, c.Learn = "", unit.Date{}, false
	c.Kits, c.Prices, c.Coupons = nil, nil, nil
	c.Forecast, c.Kitchen, c.Mould, c.Pour = forecast.Choices{}, kitchen.Choices{}, mould.Choices{}, pour.Choices{}
	c.Plate, c.Bench, c.CureTest = plate.Choices{}, pour.Bench{}, pour.TestChoices{}
	c.Calendar, c.Shopping = calendar.Choices{}, shopping.Choices{}
	// Allergens decide which pieces are dealt into boxes, and so how many are moulded.
	c.Label = box.Label{Rules: c.Label.Rules, Beside: c.Label.Beside}
	r := &c.Resin
	r.Name, r.Class, r.DensityGML, r.ExposureS, r.BottomExposureS, r.BottomLayers, r.LossShare = "", "", unit.Range{}, 0, 0, 0, 0
	c.Printer.Class, c.Printer.LiftS = "", unit.Range{}
	c.Silicone = material.Silicone{Shrinkage: c.Silicone.Shrinkage}
	shaped := *in
	shaped.Choices = c
	return Digest(&shaped, version)
}
