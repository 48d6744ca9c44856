package flow

import (
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
)

// Plan is the whole computation in numbers: plan.json. Its JSON Schema in
// docs/reference is made from these types and their doc tags.
type Plan struct {
	Title    string            `json:"title" doc:"title of the job"`
	Needed   unit.Date         `json:"needed" doc:"the day on which the gifts must be ready"`
	Revision string            `json:"revision" doc:"short code of these inputs: Crockford base 32, the last symbol is the check symbol"`
	Digest   string            `json:"digest" doc:"SHA-256 of the inputs, of which the revision is the short form"`
	Version  string            `json:"version" doc:"program version that made the plan"`
	Assumed  []Assumed         `json:"assumed" doc:"every value that was not entered, with its source"`
	Measured []Measured        `json:"measured" doc:"what coupons gave, and whether it took the place of an assumed value"`
	Findings []finding.Finding `json:"findings" doc:"remarks about the work, in the order of the stages"`

	Learned []PlanLearned `json:"learned,omitempty" doc:"times of which the record has real ones, and whether they have corrected the plan; learn = false in the job file leaves all as they are reckoned"`

	Pieces  []PlanPiece  `json:"pieces" doc:"each different chocolate; a row of the name list is one"`
	Masters []PlanMaster `json:"masters" doc:"each tray"`
	Plates  []PlanPlate  `json:"plates" doc:"each build plate to print"`
	PlanPrinting
	Only []int `json:"only,omitempty" doc:"the parts that were asked for; then the plan ends with their plates"`

	Silicone     PlanSilicone  `json:"silicone" doc:"rubber to mix for all trays"`
	Pour         PlanRubber    `json:"pour" doc:"the cure test, the cups, the times, the kits"`
	Mould        PlanMould     `json:"mould" doc:"the cured mould"`
	Chocolate    PlanChocolate `json:"chocolate" doc:"all chocolates together"`
	Chocolates   []PlanKind    `json:"chocolates" doc:"each chocolate"`
	FillingMassG float64       `json:"filling_mass_g" doc:"all fillings together, with losses"`
	Fillings     []PlanFilling `json:"fillings" doc:"each filling"`
	Kitchen      PlanKitchen   `json:"kitchen" doc:"tempering, chilling, keeping, and the work at the bench"`

	Box      PlanBoxing   `json:"box" doc:"the box, its cells, and how well the pieces could be dealt"`
	Boxes    []PlanBox    `json:"boxes" doc:"each box: whose, what lies in it, its label"`
	Calendar PlanCalendar `json:"calendar" doc:"the work over the days, counted back from the day needed"`
	Shopping PlanShopping `json:"shopping" doc:"what to buy and what it costs"`
}

// Assumed is a value that the person did not enter.
type Assumed struct {
	Key    string `json:"key" doc:"key in the job file"`
	Value  string `json:"value" doc:"the value that was taken"`
	Source string `json:"source" doc:"where it comes from"`
}

// PlanPiece is one chocolate in the plan.
type PlanPiece struct {
	Name             string     `json:"name" doc:"the design's name, with its row for a named piece"`
	Count            int        `json:"count" doc:"chocolates wanted"`
	Cavities         int        `json:"cavities" doc:"places on the master"`
	Rounds           int        `json:"rounds" doc:"times the mould is filled for them"`
	Chocolate        string     `json:"chocolate" doc:"chocolate of the shell"`
	Filling          string     `json:"filling,omitempty" doc:"filling; none for a solid piece"`
	WidthMM          float64    `json:"width_mm" doc:"size at the back"`
	DepthMM          float64    `json:"depth_mm" doc:"size at the back"`
	HeightMM         float64    `json:"height_mm" doc:"highest point"`
	VolumeMM3        float64    `json:"volume_mm3" doc:"outside shape"`
	SolidMassG       unit.Range `json:"solid_mass_g" doc:"mass if it were all chocolate"`
	MassG            unit.Range `json:"mass_g" doc:"mass as filled"`
	ShellVolumeMM3   float64    `json:"shell_volume_mm3" doc:"chocolate of the shell"`
	FillingVolumeMM3 float64    `json:"filling_volume_mm3" doc:"room for filling"`
	CapVolumeMM3     float64    `json:"cap_volume_mm3" doc:"chocolate of the cap"`
	ThinnestShellMM  float64    `json:"thinnest_shell_mm" doc:"thinnest shell found; 0 for a solid piece"`
	ThinnestAtMM     []float64  `json:"thinnest_shell_at_mm,omitempty" doc:"where that is: x, y from the middle"`
	MinDraftDeg      float64    `json:"min_draft_deg" doc:"smallest lean from vertical of a wall"`
	UndercutMM3      float64    `json:"undercut_volume_mm3" doc:"what the top views of imported meshes fill"`

	Undercuts []PlanUndercut `json:"undercuts" doc:"each imported mesh that has hollows under it"`

	PlanForecast
}

// PlanMaster is one tray in the plan.
type PlanMaster struct {
	Tray           int     `json:"tray" doc:"tray number"`
	Tiles          int     `json:"tiles" doc:"printed parts of its base"`
	Pieces         int     `json:"pieces" doc:"cavities"`
	WidthMM        float64 `json:"width_mm" doc:"inside of the frame"`
	DepthMM        float64 `json:"depth_mm" doc:"inside of the frame"`
	HeightMM       float64 `json:"height_mm" doc:"base and highest piece"`
	FrameMM        float64 `json:"frame_height_mm" doc:"frame above the underside of the base"`
	RubberMM       float64 `json:"rubber_level_mm" doc:"level of the rubber above the base"`
	SolidVolumeMM3 float64 `json:"solid_volume_mm3" doc:"base and pieces as printed"`
	HollowMM3      float64 `json:"hollow_volume_mm3,omitempty" doc:"left out of that by hollows and their drains"`
	RubberMM3      float64 `json:"rubber_volume_mm3" doc:"rubber in the frame"`
}

// PlanPlate is one build plate in the plan.
type PlanPlate struct {
	File         string     `json:"file" doc:"3MF, relative to the output folder"`
	SHA256       string     `json:"sha256" doc:"of that file"`
	STL          string     `json:"stl,omitempty" doc:"the same as STL, when asked for"`
	Layered      string     `json:"layers_file,omitempty" doc:"its layer images, when asked for"`
	Parts        []string   `json:"parts" doc:"names of the parts on it"`
	PartNumbers  []int      `json:"part_numbers" doc:"their numbers, from 1: build --only prints them again"`
	Layers       int        `json:"layers" doc:"layers of the print"`
	PrintTimeMin unit.Range `json:"print_time_min" doc:"time of the print"`
	ResinML      float64    `json:"resin_ml" doc:"resin, losses included"`
	HeightMM     float64    `json:"height_mm" doc:"tallest part"`
	UsedShare    float64    `json:"used_share" doc:"share of the plate covered by the parts' outlines"`

	PlanExposure
}

// PlanSilicone is the rubber in the plan.
type PlanSilicone struct {
	VolumeMM3 float64    `json:"volume_mm3" doc:"rubber in the frames"`
	MassG     unit.Range `json:"mass_g" doc:"to mix, with what stays in the cups"`
	PartAG    float64    `json:"part_a_g" doc:"of that, part A, for the likely mass"`
	PartBG    float64    `json:"part_b_g" doc:"of that, part B, for the likely mass"`
	Trays     []PlanPour `json:"trays" doc:"each tray's pour"`
}

// PlanPour is the rubber of one tray.
type PlanPour struct {
	Tray   int        `json:"tray" doc:"tray number"`
	MassG  unit.Range `json:"mass_g" doc:"to mix for it"`
	PartAG float64    `json:"part_a_g" doc:"part A, for the likely mass"`
	PartBG float64    `json:"part_b_g" doc:"part B, for the likely mass"`
}

// PlanChocolate is all chocolate together; likely values.
type PlanChocolate struct {
	ShellMassG float64 `json:"shell_mass_g" doc:"stays in the shells; solid pieces included"`
	CapMassG   float64 `json:"cap_mass_g" doc:"stays in the caps"`
	MeltMassG  float64 `json:"melt_mass_g" doc:"to melt, with what goes back to the bowl"`
}

// PlanKind is one chocolate.
type PlanKind struct {
	Name       string     `json:"name" doc:"its name in the job file"`
	ShellMassG unit.Range `json:"shell_mass_g" doc:"stays in the shells"`
	CapMassG   unit.Range `json:"cap_mass_g" doc:"stays in the caps"`
	MeltMassG  unit.Range `json:"melt_mass_g" doc:"to melt"`
}

// PlanFilling is one filling.
type PlanFilling struct {
	Name  string     `json:"name" doc:"its name in the job file"`
	MassG unit.Range `json:"mass_g" doc:"to make, losses included"`
}
