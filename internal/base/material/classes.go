package material

import (
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"sort"
	"strings"
)

// Class is a generic kind to start from: its values and where they come from.
type Class[T any] struct {
	Value  T
	Source string
}

const commonPractice = "common practice, no source"

// Printers are generic masked-LCD printers by the size of their plate. Pixel pitch
// 18-50 µm and layers 20-100 µm are usual; lift times vary with the printer's
// mechanics (common practice, no source).
var Printers = map[string]Class[Printer]{
	"small plate":  {Printer{"small plate", 120, 68, 150, 0.035, 0.05, 2, unit.Between(5, 7, 10)}, commonPractice},
	"medium plate": {Printer{"medium plate", 190, 120, 200, 0.035, 0.05, 3, unit.Between(5, 7.5, 11)}, commonPractice},
	"large plate":  {Printer{"large plate", 280, 160, 300, 0.046, 0.05, 3, unit.Between(6, 9, 13)}, commonPractice},
}

// Resins are generic acrylate resins. Linear shrinkage 0.2-1.5 % and a foot of
// 0.05-0.3 mm a side over the first 0.2-0.6 mm are common practice, no source. Light bleed depends on printer
// and exposure: none is made up for until a coupon was measured.
var Resins = map[string]Class[Resin]{
	"rigid grey resin":     {Resin{"", "rigid grey resin", unit.Between(1.1, 1.15, 1.2), unit.Between(0.002, 0.005, 0.01), 2.5, 30, 5, unit.Between(0.05, 0.1, 0.25), 0.4, unit.Between(0, 0, 0.05), unit.Sure(0), unit.Sure(0), 0.15}, commonPractice},
	"water-washable resin": {Resin{"", "water-washable resin", unit.Between(1.08, 1.12, 1.2), unit.Between(0.003, 0.007, 0.015), 3, 35, 5, unit.Between(0.05, 0.12, 0.3), 0.4, unit.Between(0, 0, 0.05), unit.Sure(0), unit.Sure(0), 0.15}, commonPractice},
}

// Silicones are generic two-part mould rubbers; the ranges, in the units of the fields, are
// those that data sheets of addition-cure mould rubber span (common practice, no source).
var Silicones = map[string]Class[Silicone]{
	"soft food-grade rubber": {Silicone{
		Class: "soft food-grade rubber", Cure: "addition", RatioA: 1, RatioB: 1, RatioBy: "mass",
		DensityGML: unit.Between(1.05, 1.08, 1.12), DensityAGML: 1.08, DensityBGML: 1.08,
		ViscosityPaS: unit.Between(4, 8, 15), WorkingTimeMin: unit.Between(20, 30, 45), CureH: unit.Between(4, 5, 8), SheetC: 23,
		ShoreA: unit.Between(12, 15, 20), ElongationPct: unit.Between(350, 450, 600), TearNMM: unit.Between(9, 14, 20),
		TensileMPa: unit.Between(2, 3, 4.5), Shrinkage: unit.Between(0.0005, 0.001, 0.002), PostCureH: 4, PostCureC: 200}, commonPractice},
	"firm food-grade rubber": {Silicone{
		Class: "firm food-grade rubber", Cure: "addition", RatioA: 10, RatioB: 1, RatioBy: "mass",
		DensityGML: unit.Between(1.08, 1.12, 1.2), DensityAGML: 1.13, DensityBGML: 1.0,
		ViscosityPaS: unit.Between(15, 25, 40), WorkingTimeMin: unit.Between(40, 60, 90), CureH: unit.Between(12, 18, 24), SheetC: 23,
		ShoreA: unit.Between(25, 30, 40), ElongationPct: unit.Between(250, 350, 450), TearNMM: unit.Between(12, 18, 23),
		TensileMPa: unit.Between(3, 4.5, 6), Shrinkage: unit.Between(0.0005, 0.001, 0.002), PostCureH: 4, PostCureC: 200}, commonPractice},
	"quick soft rubber": {Silicone{
		Class: "quick soft rubber", Cure: "addition", RatioA: 1, RatioB: 1, RatioBy: "mass",
		DensityGML: unit.Between(1.05, 1.08, 1.12), DensityAGML: 1.08, DensityBGML: 1.08,
		ViscosityPaS: unit.Between(3, 6, 12), WorkingTimeMin: unit.Between(5, 6, 10), CureH: unit.Between(0.5, 0.75, 1.5), SheetC: 23,
		ShoreA: unit.Between(10, 15, 20), ElongationPct: unit.Between(350, 450, 600), TearNMM: unit.Between(9, 13, 18),
		TensileMPa: unit.Between(2, 3, 4), Shrinkage: unit.Between(0.0005, 0.001, 0.002), PostCureH: 4, PostCureC: 200}, commonPractice},
}

// Chocolates by kind. Density 1.3 g/ml set and 1.2 molten: S. T. Beckett (ed.),
// Industrial Chocolate Manufacture and Use, 3rd ed. 1999, two-figure values, hence
// the spread. Casson values: single published samples (dark 29.0 Pa, 6.06 Pa s;
// milk 14.3 Pa, 1.86 Pa s) inside the ranges that ring tests span; laboratories
// differ sevenfold on the yield value of one sample (J. M. Aeschlimann, S. T.
// Beckett, J. Texture Studies 31, 2000). Fat from USDA SR26 rows 19903, 19120,
// 19087; white's flow values are taken as milk's (from memory, no source at hand).
// Ingredients are those of a plain chocolate of the kind (common practice, no source);
// many hold soya lecithin too, so the package decides.
var Chocolates = map[string]Class[Chocolate]{
	"dark":  {Chocolate{"dark", unit.Between(1.26, 1.3, 1.33), unit.Between(1.16, 1.2, 1.25), unit.Between(30, 38, 43), unit.Between(4, 15, 32), unit.Between(2.1, 3.5, 6.1), nil, []string{"cocoa mass", "sugar", "cocoa butter"}}, "S. T. Beckett (ed.) 1999; Casson values as published for single samples"},
	"milk":  {Chocolate{"milk", unit.Between(1.24, 1.28, 1.32), unit.Between(1.15, 1.2, 1.24), unit.Between(27, 30, 36), unit.Between(2, 9.3, 18), unit.Between(1, 1.5, 3), []string{"milk"}, []string{"sugar", "cocoa butter", "whole milk powder", "cocoa mass"}}, "S. T. Beckett (ed.) 1999; Casson values as published for single samples"},
	"white": {Chocolate{"white", unit.Between(1.22, 1.27, 1.31), unit.Between(1.14, 1.19, 1.24), unit.Between(29, 32, 40), unit.Between(2, 8, 18), unit.Between(1, 1.5, 3), []string{"milk"}, []string{"sugar", "cocoa butter", "whole milk powder"}}, "S. T. Beckett (ed.) 1999; flow from memory, no source at hand"},
}

// FromClass gives the class's value, or an error that lists the known classes.
func FromClass[T any](classes map[string]Class[T], name string) (Class[T], error) {
	if c, ok := classes[name]; ok {
		return c, nil
	}
	return Class[T]{}, &finding.Error{Found: "no class \"" + name + "\"", Allowed: strings.Join(Names(classes), ", "), Do: "write one of these, or take the key out"}
}

// Names lists the classes in order.
func Names[T any](classes map[string]Class[T]) []string {
	var names []string
	for n := range classes {
		names = append(names, n)
	}
	sort.Strings(names)
	return names
}

// StartFrom gives the class that a table's own "class" or "kind" key names; the job
// file's reader calls it before it lays the person's own values over it.
func (p *Printer) StartFrom(name string) (string, error) { return start(p, Printers, name) }

// StartFrom is as Printer's.
func (r *Resin) StartFrom(name string) (string, error) { return start(r, Resins, name) }

// StartFrom is as Printer's.
func (s *Silicone) StartFrom(name string) (string, error) { return start(s, Silicones, name) }

// StartFrom is as Printer's.
func (c *Chocolate) StartFrom(name string) (string, error) { return start(c, Chocolates, name) }

func start[T any](v *T, classes map[string]Class[T], name string) (source string, err error) {
	c, err := FromClass(classes, name)
	if err != nil {
		return "", err
	}
	*v = c.Value
	return "class \"" + name + "\": " + c.Source, nil
}
