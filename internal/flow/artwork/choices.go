// Package artwork turns art into shapes: text, fonts, vector files, bitmaps and
// meshes become outlines, tone fields and top views.
//
//	text + font    --Text-->     geom.Outline
//	SVG            --svg.Read--> geom.Outline
//	bitmap         --Lines-->    geom.Outline      (traced)
//	bitmap         --Tone, Depth--> field.Field    (0..1)
//	mesh           --TopView-->  field.Field       (mm)
package artwork

// Choices is one piece of art on a chocolate, as the job file's [[piece.art]] has it.
// Exactly one of Text and File is set.
//
// Field tags are the job file's rules: toml is the key, default the value taken
// (and listed under "assumed") when the key is missing, optional marks keys that
// may be missing without a default, min and max bound a number, enum a word.
type Choices struct {
	Text string `toml:"text" optional:"yes" doc:"the words; a line break starts a new line; {name} is replaced from the name list"`
	File string `toml:"file" optional:"yes" doc:"an SVG, PNG, JPEG, WebP, TIFF, STL, OBJ, PLY or 3MF beside the job file"`
	As   string `toml:"as" default:"auto" enum:"auto,vector,tone,lines,depth,mesh" doc:"how the file becomes shape: a bitmap as tone (brightness to height), lines (traced) or depth (already a depth map); auto takes vector for SVG, tone for bitmaps, mesh for meshes"`

	Font        string  `toml:"font" default:"sans bold" doc:"a built-in font's name, or a TTF/OTF file beside the job file"`
	Align       string  `toml:"align" default:"centre" enum:"left,centre,right" doc:"how several lines stand to each other"`
	Leading     float64 `toml:"line_spacing" default:"1.2" min:"0.5" max:"4" doc:"distance of lines, in font sizes"`
	Tracking    float64 `toml:"tracking" default:"0" min:"-0.2" max:"2" doc:"extra space between letters, in font sizes"`
	ArcRadiusMM float64 `toml:"arc_radius_mm" optional:"yes" min:"-500" max:"500" doc:"bends the baseline to a circle of this radius about x_mm, y_mm; positive runs over the top, negative under the bottom"`

	WidthMM  float64 `toml:"width_mm" optional:"yes" min:"0.5" max:"300" doc:"the art is scaled to fit this width; bent words are measured before they are bent"`
	HeightMM float64 `toml:"height_mm" optional:"yes" min:"0.5" max:"300" doc:"the art is scaled to fit this height; with a width, the smaller scale wins"`
	XMM      float64 `toml:"x_mm" default:"0" min:"-300" max:"300" doc:"centre of the art, or of the circle of bent words, from the centre of the piece, to the right"`
	YMM      float64 `toml:"y_mm" default:"0" min:"-300" max:"300" doc:"the same, away from you"`
	TurnDeg  float64 `toml:"turn_deg" default:"0" min:"-360" max:"360" doc:"turned counter-clockwise"`

	Side     string  `toml:"side" default:"raised" enum:"raised,sunk" doc:"raised above the top or sunk into it"`
	DepthMM  float64 `toml:"depth_mm" default:"0.8" min:"0.05" max:"50" doc:"how far it is raised or sunk"`
	Profile  string  `toml:"profile" default:"flat" enum:"flat,vee,round" doc:"cross-section of a stroke: flat top, ridge, or rounded"`
	DraftDeg float64 `toml:"draft_deg" default:"10" min:"0" max:"60" doc:"lean of the art's own walls from vertical"`

	Gamma       float64 `toml:"gamma" default:"1" min:"0.1" max:"10" doc:"tone: bends brightness to height; above 1 deepens the darks"`
	Contrast    float64 `toml:"local_contrast" default:"0.3" min:"0" max:"1" doc:"tone: how much small differences are strengthened against large ones, from 0 to 1"`
	SmoothMM    float64 `toml:"smooth_mm" default:"0.15" min:"0" max:"5" doc:"tone: finest wave kept; never finer than the printer and the chocolate can carry"`
	Invert      bool    `toml:"invert" default:"false" doc:"tone, depth, lines: dark is high instead of bright"`
	Threshold   float64 `toml:"threshold" default:"0.5" min:"0.01" max:"0.99" doc:"lines: brightness at which the outline runs"`
	Orientation string  `toml:"up" default:"z" enum:"x,-x,y,-y,z,-z" doc:"mesh: the direction that looks up out of the chocolate"`
}
