package pour

// Inhibitor is something that keeps rubber of addition cure from setting.
type Inhibitor struct {
	What   string
	Remedy string
	Source string
}

const makersNotes = "makers' notes on cure inhibition, several agree"

// Inhibitors are what a cure test most often finds, and the usual remedies. What is
// poisoned stays so: the skin, usually under 0.5 mm, never sets later (makers' notes).
var Inhibitors = []Inhibitor{
	{"resin that is not fully cured, and its photoinitiator", "wash twice in clean solvent, dry, post-cure fully, bake warm as the resin's sheet allows; if the test stays tacky, a coating", "workshop experience, from memory, no source at hand"},
	{"sulphur: latex gloves, clays with sulphur, natural rubber, some tapes", "gloves of nitrile or vinyl, never latex; clay that says it is free of sulphur", makersNotes},
	{"tin: condensation-cure rubber and what has touched it", "keep it and its cups, sticks and brushes away from the bench; use new ones", makersNotes},
	{"amines, amides, nitriles: epoxy, some glues, paints and foams", "let them cure fully, then a coating, then a test", makersNotes},
	{"soft PVC, neoprene, nitrile rubber, polyurethane, polysulphide", "no seals or tapes of these where rubber touches; gloves of nitrile are usual, but they do not go into the rubber", makersNotes},
	{"a sealer that is still wet", "let it dry fully, longer in damp air: hours to days instead of half an hour", makersNotes},
}
