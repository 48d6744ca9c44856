package main

import (
	"fmt"
	"io"
	"slices"
	"text/tabwriter"
)

// number is one of the numbers that a source gives.
type number struct {
	from source
	key  string
}

// line is one line of the table. Smaller is better in all of them.
type line struct {
	what   string
	unit   string
	ours   number
	peer   *number
	atMost float64 // goal for ours; 0: none
	times  float64 // goal for how many times the peer's number is ours; 0: none
}

var (
	reference = source{name: "BenchmarkReferencePiece", pkg: "internal/build", n: 5}
	lettered  = source{name: "BenchmarkLettered1200", pkg: "internal/base/mesh", n: 5}
	field1200 = source{name: "BenchmarkField1200", pkg: "internal/base/mesh", n: 5}
	distance  = source{name: "BenchmarkDistance4000x2500", pkg: "internal/base/field", n: 5}
	openMesh  = source{name: "BenchmarkSTLToRelief5M", pkg: "internal/flow/artwork", n: 2}
	meshFile  = source{name: "BenchmarkSTLFileToRelief5M", pkg: "internal/flow/artwork", n: 2}
	threeMF   = source{name: "BenchmarkWriteMillion", pkg: "internal/base/format/threemf", n: 2}
	lib3MF    = source{name: "BenchmarkWriteMillionLib3MF", pkg: "internal/base/format/threemf", n: 1}
	foresee   = source{name: "BenchmarkForecast", pkg: "internal/flow/forecast", n: 3}
	names     = source{name: "BenchmarkNames", pkg: "internal/build", n: 1, once: true}
	hour1     = source{name: "BenchmarkHourIn1MM", pkg: "internal/flow/kitchen/chill", n: 2}
	hourSciPy = source{name: "BenchmarkHourIn1MMSciPy", pkg: "internal/flow/kitchen/chill", n: 1}
	hourHalf  = source{name: "BenchmarkHourInHalfMM", pkg: "internal/flow/kitchen/chill", n: 1}
	deal500   = source{name: "BenchmarkDeal500", pkg: "internal/flow/box", n: 5}
	dealCbc   = source{name: "BenchmarkDeal500Cbc", pkg: "internal/flow/box", n: 1}
	dealLEMON = source{name: "BenchmarkDeal500LEMON", pkg: "internal/flow/box", n: 1}
	calendar  = source{name: "BenchmarkCalendar300", pkg: "internal/flow/calendar", n: 3}
	gecode    = source{name: "BenchmarkCalendar300Gecode", pkg: "internal/flow/calendar", n: 1}
	kitchen   = source{name: "BenchmarkAllButChilling", pkg: "internal/flow/kitchen", n: 10}
	layers    = source{name: "BenchmarkLayer8000x5000", pkg: "internal/flow/plate", n: 5}

	letters = source{name: "manifold-letters.mjs"}
	delatin = source{name: "delatin.mjs"}
	openCV  = source{name: "opencv-distance.py"}
	cvLayer = source{name: "opencv-layer.py"}
)

// The goals are the project's own; the peers' versions stand in package-lock.json and
// in Debian's lists.
var lines = []line{
	{"reference piece, 25 µm, sampled and meshed to 10 µm", "s", number{reference, "s"}, nil, 0.15, 0},
	{"reference piece, beside manifold-3d, stepped walls", "s", number{reference, "s"}, &number{letters, "manifold-3d, stepped letter walls/seconds"}, 0, 2},
	{"reference piece, beside manifold-3d, smooth walls", "s", number{reference, "s"}, &number{letters, "manifold-3d, smooth letter walls/seconds"}, 0, 5},
	{"reference piece, triangles, beside stepped walls", "", number{reference, "triangles"}, &number{letters, "manifold-3d, stepped letter walls/triangles"}, 12000, 0},
	{"reference piece, farthest sample from the mesh", "µm", number{reference, "µm-to-mesh"}, nil, 10, 0},
	{"reference piece, farthest place of the mesh", "µm", number{reference, "µm-to-relief"}, nil, 10, 0},
	{"lettered field 1200 x 1200 to 10 µm, beside delatin", "s", number{lettered, "s"}, &number{delatin, "delatin, lettered/seconds"}, 0, 2},
	{"lettered field 1200 x 1200, triangles, beside delatin", "", number{lettered, "triangles"}, &number{delatin, "delatin, lettered/triangles"}, 0, 1},
	{"waves 1200 x 1200 to 10 µm, beside delatin", "s", number{field1200, "s"}, &number{delatin, "delatin, waves/seconds"}, 0, 2},
	{"waves 1200 x 1200, triangles, beside delatin", "", number{field1200, "triangles"}, &number{delatin, "delatin, waves/triangles"}, 0, 1},
	{"distance transform 4000 x 2500, beside OpenCV", "s", number{distance, "s"}, &number{openCV, "OpenCV distanceTransform, precise, 4000 x 2500/seconds"}, 0, 1},
	{"forecast of the reference piece at 25 µm: marks, widths, pockets, surfaces, maps", "s", number{foresee, "s"}, nil, 1, 0},
	{"STL of 5 million triangles to a relief", "s", number{openMesh, "s"}, nil, 0.6, 0},
	{"the same, memory beside the file's own bytes", "files", number{openMesh, "more"}, nil, 1, 0},
	{"the same, from a file, beside assimp's reading and Mesa's drawing", "s", number{meshFile, "s"}, &number{meshFile, "s-of-peer"}, 0, 1},
	{"the same, farthest height from Mesa's, of 99.9 % of the samples", "µm", number{meshFile, "µm-apart"}, nil, 0.2, 0},
	{"the same, farthest of all, at the ball's upright rim", "µm", number{meshFile, "µm-apart-at-rim"}, nil, 4, 0},
	{"3MF of a million triangles, beside lib3mf", "s", number{threeMF, "s"}, &number{lib3MF, "s-of-lib3mf"}, 0, 1},
	{"200 names, built whole", "s", number{names, "200/s"}, nil, 100, 0},
	{"200 names, computing on all cores", "s", number{names, "200/s-of-computing"}, nil, 0, 0},
	{"20 names, computing on all cores", "s", number{names, "20/s-of-computing"}, nil, 0, 0},
	{"layer of 8000 x 5000 pixels as PNG, on all cores", "s", number{layers, "PNG/s"}, nil, 0.5, 0},
	{"the same, beside OpenCV's drawing and PNG", "s", number{layers, "PNG/s"}, &number{cvLayer, "OpenCV fillPoly and PNG, 8000 x 5000/seconds"}, 0, 1},
	{"the same, memory of the stack and its scratch", "MB", number{layers, "PNG/kept-MB"}, nil, 200, 0},
	{"an hour of chilling, reference piece in its mould, 1 mm", "s", number{hour1, "s"}, nil, 0.5, 0},
	{"an hour of chilling, 1 mm, beside SciPy's sparse solver", "s", number{hour1, "s"}, &number{hourSciPy, "s-of-scipy"}, 0, 5},
	{"an hour of chilling, 1 mm, off the temperatures of steps of 0.25 s", "K", number{hourSciPy, "K-of-ours"}, &number{hourSciPy, "K-of-scipy"}, 0.12, 0},
	{"an hour of chilling, 0.5 mm", "s", number{hourHalf, "s"}, nil, 8, 0},
	{"everything else of the kitchen", "s", number{kitchen, "s"}, nil, 0.05, 0},
	{"who gets what, 500 guests, 12 designs, 9 cells", "s", number{deal500, "s"}, nil, 2, 0},
	{"the same, beside Cbc's integer programming, the same proved least", "s", number{deal500, "s"}, &number{dealCbc, "s-of-peer"}, 0, 2},
	{"the same, beside LEMON's network simplex, the same proved least", "s", number{deal500, "s"}, &number{dealLEMON, "s-of-peer"}, 0, 0},
	{"the calendar of 300 tasks", "s", number{calendar, "s"}, nil, 2, 0},
	{"the same, beside the time that Gecode takes to its best plan", "s", number{calendar, "s"}, &number{gecode, "s-of-peer"}, 0, 1},
	{"the same, above our proved bound, beside Gecode's best of 10 s", "%", number{calendar, "%gap"}, &number{gecode, "%gap-of-peer"}, 0, 1},
	{"200 names, peak memory", "MiB", number{names, "200/MiB"}, nil, 1536, 0},
}

// print writes the table in the form of Markdown.
func (r *runner) print(w io.Writer, wanted []line) error {
	t := tabwriter.NewWriter(w, 0, 0, 1, ' ', 0)
	fmt.Fprintln(t, "| what\t| ours\t| peer\t| peer / ours\t| goal\t| met\t|")
	fmt.Fprintln(t, "| ---\t| ---:\t| ---:\t| ---:\t| ---\t| ---\t|")
	for _, l := range wanted {
		ours, err := r.median(l.ours)
		if err != nil {
			return err
		}
		peer, ratio, goal, met := "", "", "", ""
		times := 0.0
		if l.peer != nil {
			p, err := r.median(*l.peer)
			if err != nil {
				return err
			}
			times = p / ours
			peer, ratio = show(p, l.unit), fmt.Sprintf("%.1f", times)
		}
		good := true
		if l.atMost > 0 {
			goal, good = "at most "+show(l.atMost, l.unit), ours <= l.atMost
		}
		if l.times > 0 {
			goal, good = fmt.Sprintf("at least %g times", l.times), times >= l.times
		}
		if goal != "" {
			met = map[bool]string{true: "yes", false: "NO"}[good]
		}
		fmt.Fprintf(t, "| %s\t| %s\t| %s\t| %s\t| %s\t| %s\t|\n", l.what, show(ours, l.unit), peer, ratio, goal, met)
	}
	return t.Flush()
}

func (r *runner) median(n number) (float64, error) {
	list := slices.Sorted(slices.Values(r.got[n.from][n.key]))
	if len(list) == 0 {
		return 0, fmt.Errorf("%s gave no %q", n.from.name, n.key)
	}
	return list[len(list)/2], nil
}

// show is a number to three digits, whole from 100 on.
func show(v float64, unit string) string {
	s := fmt.Sprintf("%.3g", v)
	if v >= 100 {
		s = fmt.Sprintf("%.0f", v)
	}
	if unit != "" {
		s += " " + unit
	}
	return s
}
