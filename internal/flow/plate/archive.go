package plate

import (
	"archive/zip"
	"context"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"mouldwright/internal/base/material"
)

// LayerFormat names the layout of an archive of layers, in its index.
const LayerFormat = "mouldwright layers 1"

// Index is index.json of an archive of layers: what a printer must know of each image.
type Index struct {
	Format   string       `json:"format"`
	Revision string       `json:"revision"`
	Plate    string       `json:"plate"` // its name, such as "plate 2"
	WidthPx  int          `json:"width_px"`
	DepthPx  int          `json:"depth_px"`
	PixelMM  float64      `json:"pixel_mm"`
	LayerMM  float64      `json:"layer_mm"`
	Layers   []IndexLayer `json:"layers"` // from the build plate up
}

// IndexLayer is one image.
type IndexLayer struct {
	File      string  `json:"file"`
	BottomMM  float64 `json:"bottom_mm"` // height of its lower edge above the build plate
	ExposureS float64 `json:"exposure_s"`
	AreaMM2   float64 `json:"area_mm2"`
}

// WriteArchive writes all layers of a stack as a zip: index.json, then one PNG for each
// layer, drawn while it is written, so that no more than one image is in memory. The
// same stack gives the same bytes.
func WriteArchive(ctx context.Context, w io.Writer, s *Stack, revision, name string, resin material.Resin) error {
	in := Index{Format: LayerFormat, Revision: revision, Plate: name, WidthPx: s.WidthPx, DepthPx: s.DepthPx, PixelMM: s.PixelMM, LayerMM: s.LayerMM}
	for k := range s.Layers {
		if err := ctx.Err(); err != nil {
			return err
		}
		l := IndexLayer{File: fmt.Sprintf("%05d.png", k+1), BottomMM: math.Round(float64(k)*s.LayerMM*1e6) / 1e6, ExposureS: resin.ExposureS, AreaMM2: math.Round(s.AreaMM2(k)*100) / 100}
		if k < resin.BottomLayers {
			l.ExposureS = resin.BottomExposureS
		}
		in.Layers = append(in.Layers, l)
	}
	z := zip.NewWriter(w)
	f, err := z.CreateHeader(&zip.FileHeader{Name: "index.json", Method: zip.Deflate})
	if err != nil {
		return err
	}
	e := json.NewEncoder(f)
	e.SetIndent("", " ")
	if err := e.Encode(in); err != nil {
		return err
	}
	for k, l := range in.Layers {
		// PNG is packed already.
		f, err := z.CreateHeader(&zip.FileHeader{Name: l.File, Method: zip.Store})
		if err != nil {
			return err
		}
		if err := s.WritePNG(ctx, k, f); err != nil {
			return err
		}
	}
	return z.Close()
}
