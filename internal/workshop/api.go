// Package workshop serves the local web workshop: the job file as a page of choices,
// its pieces, tray and plates as shapes, and the build as something one can watch.
//
//	job file on disk <--edits with comments kept-- Desk --sketches--> State, PieceHead, Tray
//	                                                |
//	page in the browser <--routes, events-- Server -'--builds--> the folder out beside the job
//
// This file is the whole interface between server and page: the routes, and every
// type that travels. web/src/api.ts is made from it; a test compares the two.
// Everything is JSON in UTF-8 unless its route says otherwise. Lengths are mm,
// volumes mm³, masses g; x runs right, y away from you, z up.
package workshop

import (
	"net/http"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/unit"
	"mouldwright/internal/flow"
)

// route is one line of the table below: who answers a method and a path.
type route struct {
	pattern string
	answer  func(*Server, http.ResponseWriter, *http.Request) error
	doc     string
}

// routes is the whole of the interface. Paths without /api are the page itself.
// Refusals carry a Refusal with status 400, 403, 404, 409, 413, 422 or 429.
var routes = []route{
	{"GET /api/rules", (*Server).getRules, "-> Rules: every key of the job file, for forms"},
	{"GET /api/state", (*Server).getState, "-> State"},
	{"POST /api/edit", (*Server).postEdit, "EditRequest -> State; 409 with State when its version is stale, 422 with Refusal when an edit cannot be made: nothing is saved then"},
	{"POST /api/undo", (*Server).postUndo, "StepRequest -> State; 409 with State when its version is stale"},
	{"POST /api/redo", (*Server).postRedo, "StepRequest -> State; 409 with State when its version is stale"},
	{"POST /api/settle", (*Server).postSettle, "SettleRequest -> State: ends a clash of the page with a text editor"},
	{"GET /api/files", (*Server).getFiles, "-> Files: what lies beside the job file and can be used"},
	{"GET /api/files/{name}", (*Server).getFile, "-> the file's bytes"},
	{"PUT /api/files/{name}", (*Server).putFile, "bytes -> JobFile; 413 too large, 422 not readable as what its name says"},
	{"GET /api/fonts", (*Server).getFonts, "-> Fonts: the built-in ones"},
	{"GET /api/piece/{design}", (*Server).getPiece, "?row=K&detail=coarse|fine -> octets: PieceHead and its blocks; design from 1, row from 1"},
	{"GET /api/forecast/{design}", (*Server).getForecast, "?row=K -> octets: ForecastHead and its blocks, a piece as it will come out; design from 1, row from 1"},
	{"GET /api/chill/{design}", (*Server).getChill, "?row=K -> Chilling: one design in the fridge, in cubes of 1 mm; design from 1, row from 1"},
	{"GET /api/above/{design}", (*Server).getAbove, "?row=K&mm=S -> image/png: the piece from above, in the middle of a square of S mm, clear around it"},
	{"GET /api/tray", (*Server).getTray, "-> Tray: all trays laid out from coarse pieces, with the plan's numbers"},
	{"POST /api/weighed", (*Server).postWeighed, "WeighedRequest -> flow.PlanWeighed: what really weighed masses change; 422 when a number cannot be meant"},
	{"GET /api/item/{item}", (*Server).getItem, "-> octets: ItemHead and its blocks, the surface of Tray.items[item] (from 0)"},
	{"POST /api/build", (*Server).postBuild, "BuildRequest -> BuildState: starts a build; 409 while one runs"},
	{"DELETE /api/build", (*Server).deleteBuild, "-> BuildState: stops it; earlier results stay as they were"},
	{"GET /api/plan", (*Server).getPlan, "-> BuiltPlan: the last build; 404 before the first"},
	{"GET /api/plate/{plate}/layer/{image}", (*Server).getLayer, "-> image/png: layer k of plate n as the printer's mask shows it, both from 1 (/api/plate/2/layer/17.png); 404 unless the build is current"},
	{"GET /api/plate/{plate}/layers.zip", (*Server).getLayers, "-> application/zip: all layers of plate n with their index; 404 unless the build is current"},
	{"GET /api/again/{parts}", (*Server).getAgain, "-> Again: the plates that print just these parts (3,7), of the same revision; 404 unless the build is current"},
	{"GET /api/again/{parts}/{file}", (*Server).getAgainPlate, "-> model/3mf: plate k of those, from 1 (/api/again/3,7/1.3mf)"},
	{"GET /api/out/{path...}", (*Server).getOut, "-> a file of the last build, byte for byte as it lies in its folder"},
	{"GET /api/coupons", (*Server).getCoupons, "-> CouponSet: the test parts of the job as it stands"},
	{"GET /api/coupons/{name}", (*Server).getCoupon, "-> one of their files"},
	{"POST /api/coupons/read", (*Server).postCoupon, "CouponRequest -> CouponAnswer: what readings mean; nothing is saved. To keep them add a table to coupon by POST /api/edit"},
	{"GET /api/events", (*Server).getEvents, "-> text/event-stream: event state (StateEvent), event build (BuildState)"},
	{"GET /api/begin", (*Server).getBegin, "-> Beginnings: the starting sets and what the four questions allow"},
	{"POST /api/begin", (*Server).postBegin, "BeginRequest -> State: makes the first job of an empty folder; 409 when there is a job"},
	{"POST /api/pair", (*Server).postPair, "PairRequest -> Paired, and the cookie of a session: a tablet on the home network"},
	{"GET /api/calendar", (*Server).getCalendar, "-> CalendarNow: the work over the days as it stands at this moment"},
	{"GET /api/record", (*Server).getRecord, "-> Recorded: what really happened"},
	{"POST /api/record", (*Server).postRecord, "Entries -> Recorded: writes them, all or none; what is answered is on the disk, and a repeated id is written once"},
	{"POST /api/record/photo", (*Server).postPhoto, "?name=N&words=W, bytes -> Photo: kept beside the job file"},
	{"GET /api/record/photo/{photo}", (*Server).getPhoto, "-> the photo with that id"},
	{"GET /api/record/difference/{revision}", (*Server).getDifference, "?piece=N -> image/png: how much that revision changed the piece's heights, seen from above"},
	{"GET /api/trace", (*Server).getTrace, "?asked=LOT-OR-RECEIVER -> Trace"},
	{"GET /api/verify", (*Server).getVerify, "?code=C -> Verdict"},
	{"POST /api/verify", (*Server).postVerify, "?name=N, bytes -> Verdict; nothing is kept"},
	{"GET /open", (*Server).getOpen, "?token=T -> the page, and the cookie of a session"},
	{"GET /", (*Server).getPage, "-> the page and its files"},
}

// Refusal is the body of every answer that is no success.
type Refusal struct {
	Mistakes []Mistake `json:"mistakes" doc:"at least one"`
}

// Mistake is one thing that cannot be read or done: a finding.Error, part by part.
type Mistake struct {
	File    string `json:"file,omitempty" doc:"name of the file it is in"`
	Line    int    `json:"line,omitempty" doc:"from 1"`
	Column  int    `json:"column,omitempty" doc:"from 1, in characters"`
	Key     string `json:"key,omitempty" doc:"key in the job file, such as piece[2].art[1].depth_mm"`
	Found   string `json:"found" doc:"what is wrong"`
	Allowed string `json:"allowed,omitempty" doc:"what would be right"`
	Do      string `json:"do,omitempty" doc:"what to do about it"`
}

// Rules is every key of the job file, in the order of its reference.
type Rules struct {
	Rules   []Rule              `json:"rules"`
	Classes map[string][]string `json:"classes" doc:"names of the classes to start from, by the key that takes them: printer.class, resin.class, silicone.class, chocolate.*.kind, filling.*.recipe"`
}

// Rule is one key of the job file.
// Numbers are in the unit of the key.
type Rule struct {
	Key      string   `json:"key" doc:"its path; [] stands for an item of a list, * for a name of the person's: piece[].art[].depth_mm, filling.*.density_g_ml"`
	Kind     string   `json:"kind" enum:"text,number,whole,yes,date,range,texts,sizes,rows,numbers,readings" doc:"what its value is: whole a whole number, yes true or false, range a number or low-likely-high, texts a list of text, sizes a list of numbers, rows a list of tables with keys of the person's, numbers a table of names with a number each, readings one with a list of numbers each"`
	Unit     string   `json:"unit" doc:"mm, m, g, ml, deg, s, min, h, C, g/ml, g/min, N/mm, MPa, Pa, hPa, Pa s, %, or empty"`
	Min      *float64 `json:"min" doc:"smallest value, or null"`
	Max      *float64 `json:"max" doc:"largest value, or null"`
	Enum     []string `json:"enum" doc:"the allowed words; empty: any"`
	Default  string   `json:"default" doc:"taken when the key is missing, as the job file writes it; empty: none"`
	Optional bool     `json:"optional" doc:"may be missing without a default"`
	Class    bool     `json:"class" doc:"taken from the table's class when the key is missing"`
	Doc      string   `json:"doc" doc:"one line that explains it"`
}

// State is everything the page must know to stand where the job stands.
type State struct {
	Begun    bool           `json:"begun" doc:"there is a job; else the page shows the beginning and all below is empty"`
	Version  string         `json:"version" doc:"of the job file's text; edits name the version they were made on"`
	Folder   string         `json:"folder" doc:"name of the folder that the job lies in"`
	File     string         `json:"file" doc:"name of the job file"`
	Values   *Values        `json:"values" doc:"the choices by the job file's keys, defaults filled in; optional keys that are not given are left out; null when there are none to show yet"`
	Rows     []Row          `json:"rows" doc:"the name list"`
	Assumed  []flow.Assumed `json:"assumed" doc:"keys that stand at a default or at a class's value"`
	Findings []Remark       `json:"findings" doc:"of the last coarse computation and of the forecasts that are known, in the order of the stages"`
	Inputs   string         `json:"inputs" doc:"of all that pieces and trays depend on, the text and the files that it names: shapes are to be fetched anew when it changes"`
	Sketched string         `json:"sketched" doc:"the inputs that the findings and stages belong to"`
	Mistakes []Mistake      `json:"mistakes" doc:"why the text on the disk cannot be used, or why it gives no shape; the values above are then the last good ones"`
	Undo     int            `json:"undo" doc:"steps back that can be taken"`
	Redo     int            `json:"redo" doc:"steps forward that can be taken"`
	Clash    *Clash         `json:"clash" doc:"edits of the page that are not in the file; null: none"`
	Build    BuildState     `json:"build"`
	Stages   []Stage        `json:"stages" doc:"the line of stages, in the order of the work"`
	Home     *Home          `json:"home" doc:"open to the home network; null: this machine only"`
}

// Remark is a finding with where it belongs.
type Remark struct {
	finding.Finding
	Stage string `json:"stage" enum:"pieces,master,plates,pour,kitchen,box,calendar,shopping"`
	Key   string `json:"key" doc:"the key of the job file to change; empty when it is about no single one"`
	Row   string `json:"row" doc:"the name that it is about; empty: all"`
}

// Row is one row of the name list.
type Row struct {
	Label string            `json:"label" doc:"what tells the piece apart"`
	Vars  map[string]string `json:"vars" doc:"every column"`
}

// Stage is where one stage stands, in words.
type Stage struct {
	Stage string           `json:"stage" enum:"pieces,master,plates,pour,kitchen,box,calendar,shopping,record"`
	Words string           `json:"words" doc:"such as 4 designs, 29 pieces; empty while it is not known"`
	Worst finding.Severity `json:"worst" enum:",note,care,stop" doc:"worst of its findings, or empty"`
}

// Home tells that tablets on the home network may open the page.
type Home struct {
	Addresses []string `json:"addresses" doc:"what to type on the tablet"`
	Code      string   `json:"code" doc:"to type there after that; only shown on this machine, else empty"`
	Tablets   int      `json:"tablets" doc:"sessions paired so far"`
}

// Clash says that edits made on the page are not in the file, because a text editor
// changed it meanwhile. Their text is in place; mine is these edits on top of it.
type Clash struct {
	Edits []Edit   `json:"edits" doc:"mine: what the page would do to their text"`
	Keys  []string `json:"keys" doc:"theirs: keys whose values the text editor changed, up to 50"`
}

// Edit is one change of the job file. Keys count items from 1.
type Edit struct {
	Do    string `json:"do" enum:"set,unset,copy,remove,move,add" doc:"set a key to value; unset: take its line out; copy, remove or move item key (piece[2]); add value as a new item behind the last of list key (piece, piece[2].art) or as a table (filling.NAME)"`
	Key   string `json:"key" doc:"piece[2].draft_deg, piece[2], piece, piece[2].art"`
	Value any    `json:"value,omitempty" doc:"text, number, true or false, day (2027-03-14), {low, likely, high}, list of text; for add an object of keys, with art as a list of such objects"`
	To    int    `json:"to,omitempty" doc:"move: the place it shall have, from 1"`
}

// EditRequest is edits that are made together or not at all: one step of undo.
type EditRequest struct {
	Version string `json:"version"`
	Edits   []Edit `json:"edits" doc:"1 to 200"`
}

// StepRequest is one step back or forward.
type StepRequest struct {
	Version string `json:"version"`
}

// SettleRequest ends a clash.
type SettleRequest struct {
	Version string `json:"version"`
	Take    string `json:"take" enum:"mine,theirs" doc:"mine puts the clash's edits on top of their text; theirs drops them"`
}

// StateEvent says that State has changed; the page gets it anew.
type StateEvent struct {
	Version string `json:"version"`
	By      string `json:"by" enum:"page,editor,sketch,files,home,record,told" doc:"an edit from a page, a change by a text editor, new findings and stages, new files, a tablet, something in the record that changes the plan, or that does not"`
}

// Files is what can be used beside the job file.
type Files struct {
	Files []JobFile `json:"files" doc:"by name"`
}

// JobFile is one file beside the job file.
type JobFile struct {
	Name  string `json:"name"`
	Kind  string `json:"kind" enum:"vector,picture,mesh,font,names" doc:"by its ending"`
	Bytes int64  `json:"bytes"`
	Used  bool   `json:"used" doc:"the job names it"`
	Words string `json:"words" doc:"after an upload: what is in it, such as 1200 x 800 pixels; else empty"`
}

// Fonts is the built-in fonts' names, for art[].font.
type Fonts struct {
	Names []string `json:"names"`
}

// Block is an array behind a head. An answer of octets is: uint32 n; the head as n
// bytes of JSON, padded with spaces until 4+n is a multiple of 8; the blocks. All
// numbers are little-endian, and every block starts on a multiple of 8, so that a
// typed array can lie right on the answer's buffer.
type Block struct {
	Name  string `json:"name"`
	Type  string `json:"type" enum:"float32,uint16,uint32"`
	At    int    `json:"at" doc:"offset in bytes from the start of the answer"`
	Count int    `json:"count" doc:"numbers, not bytes"`
}

// Grid says where the samples of a block lie: (x0 + i pitch, y0 + j pitch), row by
// row, y growing. The value is low + step times the number.
type Grid struct {
	W       int     `json:"w"`
	H       int     `json:"h"`
	PitchMM float64 `json:"pitch_mm"`
	X0MM    float64 `json:"x0_mm"`
	Y0MM    float64 `json:"y0_mm"`
	LowMM   float64 `json:"low_mm" doc:"value of the number 0"`
	StepMM  float64 `json:"step_mm" doc:"value of one step"`
}

// PieceHead is one chocolate. Blocks: positions (float32, x y z of each vertex),
// triangles (uint32, three vertices each, counter-clockwise from outside), heights
// (uint16 on the grid heights: height above the back, for normals), filling (uint16
// on the grid filling: the room inside the shell above the back; none for a solid
// piece; the cap reaches up to cap_mm), rings (float32, x y of the footprint's points).
type PieceHead struct {
	Version  string            `json:"version"`
	Design   int               `json:"design" doc:"from 1"`
	Row      int               `json:"row" doc:"row of the name list, from 1; 0 for a piece without names"`
	Name     string            `json:"name" doc:"as the sheets call it"`
	Detail   string            `json:"detail" enum:"coarse,fine"`
	PitchMM  float64           `json:"pitch_mm" doc:"at which it was computed"`
	Numbers  flow.PlanPiece    `json:"numbers" doc:"as the plan has them, at this pitch"`
	BodyMM   float64           `json:"body_mm" doc:"height of the body without raised art"`
	ShellMM  float64           `json:"shell_mm" doc:"wanted thickness; 0 for a solid piece"`
	CapMM    float64           `json:"cap_mm" doc:"thickness of the cap; 0 for a solid piece"`
	Scale    float64           `json:"scale" doc:"factor that weight_g put on the sizes; 1 without it"`
	ShellG   unit.Range        `json:"shell_g"`
	FillingG unit.Range        `json:"filling_g"`
	CapG     unit.Range        `json:"cap_g"`
	Kind     string            `json:"kind" doc:"kind of its chocolate: dark, milk, white"`
	Findings []finding.Finding `json:"findings" doc:"of this piece"`
	Heights  Grid              `json:"heights"`
	Filling  *Grid             `json:"filling" doc:"null for a solid piece"`
	Rings    []int             `json:"rings" doc:"points of each ring in the block rings"`
	Blocks   []Block           `json:"blocks"`
}

// Tray is all trays as they would be made now, from coarse pieces: sizes are right to
// about a tenth of a millimetre, volumes to about a percent; the build's are exact.
type Tray struct {
	Version string     `json:"version"`
	Plan    flow.Plan  `json:"plan" doc:"numbers of all stages, coarse; without plates' files"`
	Items   []Item     `json:"items" doc:"each different piece as the master has it"`
	Trays   []OneTray  `json:"trays"`
	Plates  []OnePlate `json:"plates" doc:"in the order of plan.plates"`
}

// Again is the plates that print some parts again.
type Again struct {
	Plates []flow.PlanPlate `json:"plates" doc:"without file and digest, like those of a sketch"`
}

// OnePlate is one build plate from above, x to the right and y away from you.
type OnePlate struct {
	Number   int         `json:"number" doc:"from 1, as in plan.plates"`
	WidthMM  float64     `json:"width_mm" doc:"of the whole plate"`
	DepthMM  float64     `json:"depth_mm" doc:"of the whole plate"`
	MarginMM float64     `json:"margin_mm" doc:"kept free along each edge"`
	Parts    []PlatePart `json:"parts"`
}

// PlatePart is one part on its plate, from the left front corner.
type PlatePart struct {
	Name  string         `json:"name"`
	Part  int            `json:"part" doc:"from 1: the number that makes a plate of chosen parts (build --only)"`
	Rings [][][2]float64 `json:"rings" doc:"its outline where it lies, in mm"`
	At    [6]float64     `json:"at" doc:"maps the part's own x, y to the plate's: a x + c y + e, b x + d y + f"`
}

// Item is a piece as it stands on a master, grown for the rubber's shrinkage.
type Item struct {
	Name     string         `json:"name" doc:"what [[master.place]] calls it"`
	Design   int            `json:"design" doc:"from 1"`
	Row      int            `json:"row" doc:"from 1; 0 without names"`
	HeightMM float64        `json:"height_mm"`
	Rings    [][][2]float64 `json:"rings" doc:"outline with its fillet, around its centre, in mm"`
	Shape    string         `json:"shape" doc:"changes when its surface does: GET /api/item then gives a new one"`
}

// OneTray is one mould's master. Places are in mm from its left front corner, z from
// the top of its base.
type OneTray struct {
	Number   int       `json:"number"`
	WidthMM  float64   `json:"width_mm" doc:"inside of the frame, left to right"`
	DepthMM  float64   `json:"depth_mm" doc:"inside of the frame, front to back"`
	BaseMM   float64   `json:"base_mm" doc:"thickness of the base, below z = 0"`
	HighMM   float64   `json:"high_mm" doc:"highest point"`
	RubberMM float64   `json:"rubber_mm" doc:"level of the rubber"`
	FrameMM  float64   `json:"frame_mm" doc:"top of the frame, from the underside of the base"`
	PanelMM  float64   `json:"panel_mm" doc:"thickness of the frame's panels"`
	Printed  bool      `json:"printed" doc:"the frame is printed; else boards of one's own"`
	Placed   []Placed  `json:"placed"`
	Tiles    []Tile    `json:"tiles"`
	Measures []Measure `json:"measures" doc:"the narrowest gap of each kind"`
}

// Placed is one cavity.
type Placed struct {
	Item    int     `json:"item" doc:"index into items"`
	Number  int     `json:"number" doc:"on its tray, as one reads"`
	Cavity  int     `json:"cavity" doc:"which of its piece's cavities: number in [[master.place]]"`
	XMM     float64 `json:"x_mm"`
	YMM     float64 `json:"y_mm"`
	TurnDeg float64 `json:"turn_deg"`
	ByHand  bool    `json:"by_hand" doc:"stands in [[master.place]]"`
}

// Tile is one printed part of a base; its outline shows cuts and keys.
// Lengths are mm.
type Tile struct {
	Number int          `json:"number"`
	Ring   [][2]float64 `json:"ring"`
	Placed []int        `json:"placed" doc:"indices into placed"`
}

// Measure is a distance to draw on the tray.
// Its ends are points in mm.
type Measure struct {
	What   string     `json:"what" enum:"between pieces,to the frame"`
	From   [2]float64 `json:"from"`
	To     [2]float64 `json:"to"`
	MM     float64    `json:"mm"`
	WantMM float64    `json:"want_mm" doc:"what the mould rules ask for"`
}

// ItemHead is the surface of an item. Blocks: positions (float32, x y z), triangles
// (uint32).
type ItemHead struct {
	Name   string  `json:"name"`
	Shape  string  `json:"shape"`
	Blocks []Block `json:"blocks"`
}

// BuildRequest starts a build of the text with this version.
type BuildRequest struct {
	Version string `json:"version"`
	Paper   string `json:"paper" enum:"A4,Letter" doc:"of the sheets"`
}

// BuildState is where the build stands.
type BuildState struct {
	Count    int64             `json:"count" doc:"grows with every change, over restarts too: of two states the one with the larger count is newer, whichever came first"`
	Running  bool              `json:"running"`
	Stage    string            `json:"stage" doc:"piece, master, plate or sheet while it runs"`
	Done     int               `json:"done" doc:"parts of the stage"`
	Total    int               `json:"total"`
	Outcome  string            `json:"outcome" enum:",built,stopped,refused,failed" doc:"of the last build: stopped by the person, refused by a finding that says stop, failed with mistakes"`
	Findings []finding.Finding `json:"findings" doc:"when refused: why"`
	Mistakes []Mistake         `json:"mistakes" doc:"when failed: why; when built: why the record does not know of it"`
	Revision string            `json:"revision" doc:"of the results in the folder; empty: none"`
	Current  bool              `json:"current" doc:"those results are of the job as it is now"`
}

// BuiltPlan is the plan of the results in the folder.
type BuiltPlan struct {
	Plan    flow.Plan `json:"plan"`
	Current bool      `json:"current" doc:"it is of the job as it is now"`
	Files   []OutFile `json:"files" doc:"everything that was written, by name"`
}

// OutFile is one file of a build, under /api/out/.
type OutFile struct {
	Name  string `json:"name" doc:"with forward slashes"`
	Bytes int64  `json:"bytes"`
}

// Beginnings is what a first job can start from.
type Beginnings struct {
	Sets     []Set    `json:"sets" doc:"three starting sets"`
	Art      []string `json:"art" doc:"answers to: what art?"`
	Printers []string `json:"printers" doc:"answers to: which printer?"`
}

// Set is a starting set.
type Set struct {
	Name  string `json:"name"`
	Title string `json:"title"`
	Words string `json:"words" doc:"what is in it, in a sentence"`
}

// BeginRequest makes the first job: from a set, or from four answers.
type BeginRequest struct {
	Set     string    `json:"set" doc:"a set's name; empty: from the answers"`
	Title   string    `json:"title" doc:"for whom or what: 1 to 80 characters; empty with a set: the set's own"`
	Needed  unit.Date `json:"needed" doc:"the day on which they must be ready"`
	Art     string    `json:"art" doc:"one of Beginnings.art; empty with a set"`
	Printer string    `json:"printer" doc:"one of Beginnings.printers"`
	Boxes   int       `json:"boxes" doc:"how many boxes or guests: 1 to 2000"`
	Names   []string  `json:"names" doc:"of the guests, may be empty"`
}

// PairRequest is the code that the machine beside shows.
type PairRequest struct {
	Code string `json:"code"`
}

// Paired says that this browser may use the workshop now.
type Paired struct {
	Paired bool `json:"paired"`
}
