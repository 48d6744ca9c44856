package threemf

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/mesh"
)

// Bounds of what one model may hold beside its triangles (our choice: far above a full plate).
const (
	maxDepth     = 64      // of XML elements
	maxNesting   = 16      // of components inside components
	maxObjects   = 100_000 //
	maxInstances = 100_000 // after components are resolved
	maxMeta      = 1000
	maxMetaText  = 1 << 16
	maxKids      = 64 // different names inside one element; more are passed over
)

// mmPerUnit are the units a file may use, by definition (core specification, 3.4).
var mmPerUnit = map[string]float64{
	"": 1, "micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000,
}

// known are the extension namespaces that may be required: those whose absence from
// our reading leaves the shape right. The production extension is one as long as no
// component points into another part, which instance refuses.
var known = map[string]bool{
	coreNamespace: true,
	Namespace:     true,
	"http://schemas.microsoft.com/3dmanufacturing/material/2015/02":   true,
	"http://schemas.microsoft.com/3dmanufacturing/production/2015/06": true,
}

// Read reads a 3MF file into millimetres. Components are resolved: every item of the
// result places one mesh. Objects of type support and solidsupport are left out.
func Read(name string, data []byte, lim format.Limits) (*Model, error) {
	p, err := parse(name, data, lim, false)
	if err != nil {
		return nil, err
	}
	return p.resolve()
}

// ReadMetadata reads only the metadata at the head of the model, Title and
// Application among them, without reading its meshes.
func ReadMetadata(name string, data []byte, lim format.Limits) ([]Meta, error) {
	p, err := parse(name, data, lim, true)
	if err != nil {
		return nil, err
	}
	return p.metadata, nil
}

// source is an object as the file has it: a mesh, or components.
type source struct {
	id, name, kind string
	mesh           *mesh.Mesh // nil when it has components
	components     []placedAs
}

type placedAs struct {
	id, partNumber string
	transform      Transform
}

// place is where an element stands, such as model/build/item. Each place is made once
// and found by the element's name.
type place struct {
	path string
	kids map[string]*place
}

// foreign is the path of an element outside the core's namespace and of all inside it.
const foreign = "foreign"

// kid is the place of an element inside p; local is empty for a foreign one.
func (p *place) kid(local []byte) *place {
	if k := p.kids[string(local)]; k != nil {
		return k
	}
	if len(local) == 0 || p.path == foreign || len(p.kids) == maxKids {
		return &place{path: foreign}
	}
	if p.kids == nil {
		p.kids = map[string]*place{}
	}
	k := &place{path: strings.TrimPrefix(p.path+"/"+string(local), "/")}
	p.kids[string(local)] = k
	return k
}

type parser struct {
	name     string
	lim      format.Limits
	headOnly bool

	unit     float64
	metadata []Meta
	objects  []*source
	byID     map[string]*source
	items    []placedAs

	scan      *scanner
	open      []*place // the places of the open elements
	root      place    // what the root element stands in
	object    *source
	text      strings.Builder
	vertices  int
	triangles int
}

func parse(name string, data []byte, lim format.Limits, headOnly bool) (*parser, error) {
	r, err := openModel(name, data, lim)
	if err != nil {
		return nil, err
	}
	p := &parser{name: name, lim: lim, headOnly: headOnly, byID: map[string]*source{}, scan: newScanner(r)}
	for {
		kind, err := p.scan.next()
		if err == io.EOF {
			break
		}
		if err == nil {
			err = p.token(kind)
		}
		if err == errHeadRead {
			return p, nil
		}
		if err != nil {
			return nil, wrap(name, "the model", err)
		}
	}
	if p.unit == 0 {
		return nil, refusal(name, "the model", "no element <model>", "a 3MF model", nil)
	}
	return p, nil
}

var errHeadRead = errors.New("the head is read")

func (p *parser) token(kind token) error {
	switch kind {
	case startElement:
		if len(p.open) == maxDepth {
			return refusal(p.name, "the model", "elements nested too deeply", fmt.Sprintf("at most %d levels", maxDepth), nil)
		}
		in := &p.root
		if n := len(p.open); n > 0 {
			in = p.open[n-1]
		}
		local := p.scan.local
		if p.scan.space != coreNamespace {
			local = nil
		}
		at := in.kid(local)
		p.open = append(p.open, at)
		return p.start(at.path)
	case endElement:
		at := p.open[len(p.open)-1]
		p.open = p.open[:len(p.open)-1]
		p.end(at.path)
	case textPiece:
		if n := len(p.open); n > 0 && p.open[n-1].path == "model/metadata" {
			if p.text.Len()+len(p.scan.text) > maxMetaText {
				return refusal(p.name, "metadata", "a text too long", fmt.Sprintf("at most %d bytes", maxMetaText), nil)
			}
			p.text.Write(p.scan.text)
		}
	}
	return nil
}

func (p *parser) start(at string) error {
	switch at {
	case "model":
		return p.model()
	case "model/metadata":
		if len(p.metadata) == maxMeta {
			return refusal(p.name, "metadata", "too many entries", fmt.Sprintf("at most %d", maxMeta), nil)
		}
		p.metadata = append(p.metadata, Meta{Name: p.attr("name")})
		p.text.Reset()
	case "model/resources", "model/build":
		if p.headOnly {
			return errHeadRead
		}
	case "model/resources/object":
		id := p.attr("id")
		if id == "" || p.byID[id] != nil || len(p.objects) == maxObjects {
			return refusal(p.name, fmt.Sprintf("object %.20q", id), "an object without id, twice, or too many objects",
				fmt.Sprintf("at most %d objects, each with its own id", maxObjects), nil)
		}
		p.object = &source{id: id, name: p.attr("name"), kind: p.attr("type")}
		p.objects = append(p.objects, p.object)
		p.byID[id] = p.object
	case "model/resources/object/mesh":
		if p.object.mesh != nil {
			return p.bad("a second mesh")
		}
		p.object.mesh = &mesh.Mesh{}
	case "model/resources/object/mesh/vertices/vertex":
		return p.vertex()
	case "model/resources/object/mesh/triangles/triangle":
		return p.triangle()
	case "model/resources/object/components/component":
		c, err := p.instance()
		if p.object.components = append(p.object.components, c); len(p.object.components) > maxInstances {
			return p.bad("too many components")
		}
		return err
	case "model/build/item":
		c, err := p.instance()
		if p.items = append(p.items, c); len(p.items) > maxInstances {
			return refusal(p.name, "build", "too many items", fmt.Sprintf("at most %d", maxInstances), nil)
		}
		return err
	}
	return nil
}

func (p *parser) end(at string) {
	if at == "model/metadata" {
		p.metadata[len(p.metadata)-1].Value = p.text.String()
	}
}

func (p *parser) model() error {
	unit := p.attr("unit")
	var ok bool
	if p.unit, ok = mmPerUnit[unit]; !ok {
		return refusal(p.name, "model", fmt.Sprintf("the unit %.20q", unit), "micron, millimeter, centimeter, inch, foot or meter", nil)
	}
	spaces := map[string]string{}
	for _, a := range p.scan.attrs {
		if string(a.prefix) == "xmlns" {
			spaces[string(a.local)] = string(a.value)
		}
	}
	for _, prefix := range strings.Fields(p.attr("requiredextensions")) {
		if !known[spaces[prefix]] {
			return refusal(p.name, "model", fmt.Sprintf("the file needs the extension %.80q", spaces[prefix]), "plain meshes, materials and production", nil)
		}
	}
	return nil
}

func (p *parser) bad(found string) error {
	return refusal(p.name, fmt.Sprintf("object %.20q", p.object.id), found, "", nil)
}

func (p *parser) vertex() error {
	var v [3]float32
	for c, key := range [3]string{"x", "y", "z"} {
		f, err := strconv.ParseFloat(string(bytes.TrimSpace(p.scan.attr(key))), 64)
		if err != nil {
			return p.bad(fmt.Sprintf("vertex %d has no number %s", len(p.object.mesh.V), key))
		}
		v[c] = float32(f * p.unit)
	}
	if !format.Fits(v) {
		return format.BadCoord(p.name, 0, fmt.Sprintf("object %.20q vertex %d", p.object.id, len(p.object.mesh.V)), v)
	}
	p.object.mesh.V = append(p.object.mesh.V, v)
	p.vertices++
	return p.counts()
}

func (p *parser) triangle() error {
	var id [3]uint32
	for c, key := range [3]string{"v1", "v2", "v3"} {
		i, err := strconv.ParseUint(string(bytes.TrimSpace(p.scan.attr(key))), 10, 32)
		if n := len(p.object.mesh.V); err != nil || i >= uint64(n) {
			return p.bad(fmt.Sprintf("triangle %d names vertex %.20q of %d", len(p.object.mesh.T), p.attr(key), n))
		}
		id[c] = uint32(i)
	}
	if id[0] == id[1] || id[1] == id[2] || id[2] == id[0] {
		return p.bad(fmt.Sprintf("triangle %d names a vertex twice", len(p.object.mesh.T)))
	}
	p.object.mesh.T = append(p.object.mesh.T, id)
	p.triangles++
	return p.counts()
}

func (p *parser) counts() error { return p.lim.CheckCounts(p.name, p.vertices, max(1, p.triangles)) }

// instance reads a component or an item: objectid, transform, partnumber.
func (p *parser) instance() (placedAs, error) {
	for _, a := range p.scan.attrs {
		if string(a.local) == "path" && len(a.prefix) > 0 {
			return placedAs{}, refusal(p.name, "component", fmt.Sprintf("the mesh lies in another part, %.80q", a.value),
				"meshes in the model part itself", nil)
		}
	}
	c := placedAs{id: p.attr("objectid"), partNumber: p.attr("partnumber"), transform: Identity}
	words := strings.Fields(p.attr("transform"))
	if len(words) == 0 {
		return c, nil
	}
	for k := range c.transform {
		var err error
		if len(words) == len(c.transform) {
			c.transform[k], err = strconv.ParseFloat(words[k], 64)
		}
		if len(words) != len(c.transform) || err != nil {
			return c, refusal(p.name, fmt.Sprintf("object %.20q", c.id), fmt.Sprintf("the transform %.80q", p.attr("transform")), "12 numbers", nil)
		}
	}
	for k := 9; k < 12; k++ {
		c.transform[k] *= p.unit
	}
	if d := c.transform.det(); d == 0 || math.IsNaN(d) {
		return c, refusal(p.name, fmt.Sprintf("object %.20q", c.id), "a transform that flattens", "one with a volume", nil)
	}
	return c, nil
}

// attr is the value of an attribute of the element just started, "" when it is missing.
func (p *parser) attr(name string) string { return string(p.scan.attr(name)) }
