package threemf

import (
	"archive/zip"
	"cmp"
	"context"
	"encoding/xml"
	"fmt"
	"io"
	"strconv"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
)

const (
	coreNamespace = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	startPart     = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	modelPart     = "3D/3dmodel.model"
	application   = "Mouldwright"
)

const contentTypes = `<?xml version="1.0" encoding="UTF-8"?>
<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">` +
	`<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>` +
	`<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>` +
	`</Types>
`

const rels = `<?xml version="1.0" encoding="UTF-8"?>
<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">` +
	`<Relationship Target="/` + modelPart + `" Id="rel0" Type="` + startPart + `"/></Relationships>
`

// written is the date of every entry, 1 January 1980 in the ZIP's own coding: the
// oldest it can hold, so that the same model gives the same bytes on any day.
const written = 1<<5 | 1

// Write writes the model. It refuses indices out of range, triangles with a corner
// used twice, coordinates that do not fit, objects with fewer than four triangles and
// transforms that are not finite or flatten; it does not check that meshes are closed.
func Write(ctx context.Context, w io.Writer, m *Model) error {
	if err := m.check(); err != nil {
		return err
	}
	z := zip.NewWriter(w)
	for _, part := range []struct{ name, text string }{{"[Content_Types].xml", contentTypes}, {"_rels/.rels", rels}} {
		//lint:ignore SA1019 Modified would add a field to every entry that ModifiedDate does not
		f, err := z.CreateHeader(&zip.FileHeader{Name: part.name, Method: zip.Deflate, ModifiedDate: written})
		if err != nil {
			return err
		}
		if _, err := io.WriteString(f, part.text); err != nil {
			return err
		}
	}
	body, err := deflate(ctx, m.pieces())
	if err != nil {
		return err
	}
	f, err := z.CreateRaw(&zip.FileHeader{
		//lint:ignore SA1019 as above
		Name: modelPart, Method: zip.Deflate, ModifiedDate: written, ReaderVersion: 20, CreatorVersion: 20, CRC32: body.sum,
		CompressedSize64: body.packedBytes, UncompressedSize64: body.bytes,
	})
	if err != nil {
		return err
	}
	for _, s := range body.segments {
		if _, err := f.Write(s); err != nil {
			return err
		}
	}
	return z.Close()
}

func (m *Model) check() error {
	refuse := func(where, found, allowed string) error {
		return &finding.Error{Key: where, Found: found, Allowed: allowed, Do: "report this: the program made a faulty part"}
	}
	for i, o := range m.Objects {
		where := fmt.Sprintf("object %d (%s)", i+1, o.Name)
		if len(o.Mesh.T) < 4 {
			return refuse(where, fmt.Sprintf("%d triangles", len(o.Mesh.T)), "4 or more")
		}
		for k, p := range o.Mesh.V {
			if !format.Fits(p) {
				return format.BadCoord("", 0, fmt.Sprintf("%s vertex %d", where, k), p)
			}
		}
		n := uint32(len(o.Mesh.V))
		for k, t := range o.Mesh.T {
			if t[0] >= n || t[1] >= n || t[2] >= n || t[0] == t[1] || t[1] == t[2] || t[2] == t[0] {
				return refuse(fmt.Sprintf("%s triangle %d", where, k), fmt.Sprintf("vertices %v", t), fmt.Sprintf("three different ones below %d", n))
			}
		}
	}
	for i, item := range m.Items {
		where := fmt.Sprintf("item %d", i+1)
		if item.Object < 0 || item.Object >= len(m.Objects) {
			return refuse(where, fmt.Sprintf("object %d", item.Object), fmt.Sprintf("0 to %d", len(m.Objects)-1))
		}
		if d := item.Transform.det(); d == 0 || d != d {
			return refuse(where, fmt.Sprintf("transform %v", item.Transform), "finite and not flat")
		}
	}
	return nil
}

// pieces cuts the model file into texts that are made and packed side by side.
// The cuts depend on the model alone, so the bytes do not depend on the cores.
func (m *Model) pieces() []func([]byte) []byte {
	list := []func([]byte) []byte{m.head}
	for i := range m.Objects {
		o := &m.Objects[i]
		list = append(list, func(b []byte) []byte {
			b = fmt.Appendf(b, `<object id="%d" type="model"`, i+1)
			b = appendAttribute(b, "name", o.Name)
			return append(b, "><mesh><vertices>\n"...)
		})
		for from := 0; from < len(o.Mesh.V); from += rowsAPiece {
			rows := o.Mesh.V[from:min(from+rowsAPiece, len(o.Mesh.V))]
			list = append(list, func(b []byte) []byte { return appendVertices(b, rows) })
		}
		list = append(list, func(b []byte) []byte { return append(b, "</vertices><triangles>\n"...) })
		for from := 0; from < len(o.Mesh.T); from += rowsAPiece {
			rows := o.Mesh.T[from:min(from+rowsAPiece, len(o.Mesh.T))]
			list = append(list, func(b []byte) []byte { return appendTriangles(b, rows) })
		}
		list = append(list, func(b []byte) []byte { return append(b, "</triangles></mesh></object>\n"...) })
	}
	return append(list, m.build)
}

// rowsAPiece rows are about half a megabyte of text (our choice: all cores have work, and
// the pieces pack as well as the whole).
const rowsAPiece = 1 << 13

func (m *Model) head(b []byte) []byte {
	b = append(b, xml.Header...)
	b = append(b, `<model unit="millimeter" xml:lang="en-US" xmlns="`+coreNamespace+`" xmlns:`+Prefix+`="`+Namespace+`">`+"\n"...)
	list := []Meta{{"Title", m.Title}, {"Application", cmp.Or(m.Application, application)}}
	for _, meta := range append(list, m.Metadata...) {
		if meta.Value != "" {
			b = append(b, `<metadata`...)
			b = appendAttribute(b, "name", meta.Name)
			b = append(b, '>')
			b = append(b, escape(meta.Value)...)
			b = append(b, "</metadata>\n"...)
		}
	}
	return append(b, "<resources>\n"...)
}

func (m *Model) build(b []byte) []byte {
	b = append(b, "</resources><build>\n"...)
	for _, item := range m.Items {
		b = fmt.Appendf(b, `<item objectid="%d"`, item.Object+1)
		if item.Transform != Identity {
			b = append(b, ` transform="`...)
			for k, v := range item.Transform {
				if k > 0 {
					b = append(b, ' ')
				}
				b = strconv.AppendFloat(b, v+0, 'g', -1, 64)
			}
			b = append(b, '"')
		}
		b = appendAttribute(b, "partnumber", item.PartNumber)
		b = append(b, "/>\n"...)
	}
	return append(b, "</build></model>\n"...)
}

func appendVertices(b []byte, rows [][3]float32) []byte {
	for _, p := range rows {
		b = append(b, `<vertex x="`...)
		b = strconv.AppendFloat(b, float64(p[0]+0), 'g', -1, 32)
		b = append(b, `" y="`...)
		b = strconv.AppendFloat(b, float64(p[1]+0), 'g', -1, 32)
		b = append(b, `" z="`...)
		b = strconv.AppendFloat(b, float64(p[2]+0), 'g', -1, 32)
		b = append(b, "\"/>\n"...)
	}
	return b
}

func appendTriangles(b []byte, rows [][3]uint32) []byte {
	for _, t := range rows {
		b = append(b, `<triangle v1="`...)
		b = strconv.AppendUint(b, uint64(t[0]), 10)
		b = append(b, `" v2="`...)
		b = strconv.AppendUint(b, uint64(t[1]), 10)
		b = append(b, `" v3="`...)
		b = strconv.AppendUint(b, uint64(t[2]), 10)
		b = append(b, "\"/>\n"...)
	}
	return b
}

// appendAttribute appends name="value", nothing when the value is empty.
func appendAttribute(b []byte, name, value string) []byte {
	if value == "" {
		return b
	}
	b = append(b, ' ')
	b = append(b, name...)
	b = append(b, `="`...)
	b = append(b, escape(value)...)
	return append(b, '"')
}

func escape(s string) string {
	var b strings.Builder
	xml.EscapeText(&b, []byte(s)) // a strings.Builder does not fail
	return b.String()
}
