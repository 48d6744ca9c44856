package piece

import (
	"context"
	"fmt"
	"path"
	"strings"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format/bitmap"
	"mouldwright/internal/flow/artwork"
)

// draw reads a piece of art. where is its key in the job file.
func draw(ctx context.Context, a artwork.Choices, in Inputs, row map[string]string, where string) (art, []finding.Finding, error) {
	if a.Text != "" {
		t, err := textArt(a, in, row, where)
		return t, nil, err
	}
	data, err := in.file(a.File, where+".file")
	if err != nil {
		return art{}, nil, err
	}
	as := a.As
	if as == "" || as == "auto" {
		as = kind(a.File)
	}
	switch as {
	case "vector":
		d, list, err := in.readSVG(ctx, a.File, data)
		if err != nil {
			return art{}, nil, err
		}
		return art{outline: func(_ context.Context, w, h float64) (artwork.Setting, []finding.Finding, error) {
			o, err := artwork.Vector(d, w, h)
			return artwork.Setting{Outline: o}, nil, err
		}}, list, nil
	case "tone", "depth", "lines":
		return pictureArt(a, as, data)
	case "mesh":
		tri, err := artwork.OpenMesh(a.File, data)
		if err != nil {
			return art{}, nil, err
		}
		return art{view: func(ctx context.Context, w, h, pitchMM float64) (*artwork.Top, []finding.Finding, error) {
			top, err := artwork.TopView(ctx, a.File, tri, artwork.View{Up: a.Orientation, WidthMM: w, HeightMM: h, PitchMM: pitchMM})
			if err != nil {
				return nil, nil, err
			}
			return top, top.Findings, nil
		}}, nil, nil
	}
	return art{}, nil, &finding.Error{Key: where + ".as", Found: fmt.Sprintf("%q for %s", a.As, a.File), Allowed: "vector, tone, lines, depth or mesh, with a file of that kind", Do: "take the key out: the kind of file then decides"}
}

// kind is how a file becomes shape when the job does not say.
func kind(name string) string {
	switch strings.ToLower(path.Ext(name)) {
	case ".svg":
		return "vector"
	case ".stl", ".obj", ".ply", ".3mf":
		return "mesh"
	case ".png", ".jpg", ".jpeg", ".webp", ".tif", ".tiff":
		return "tone"
	}
	return ""
}

// file is the bytes of a file that the job names.
func (in Inputs) file(name, key string) ([]byte, error) {
	data, ok := in.Files[name]
	if !ok {
		return nil, &finding.Error{Key: key, Found: fmt.Sprintf("no file %q", name), Do: "put it beside the job file"}
	}
	return data, nil
}

// textArt is a text with the row's words in it, set anew for each size that is tried.
func textArt(a artwork.Choices, in Inputs, row map[string]string, where string) (art, error) {
	words, err := artwork.Substitute(a.Text, row)
	if err != nil {
		return art{}, err
	}
	fonts := in.Fonts
	if fonts == nil {
		fonts = artwork.NewFonts()
	}
	return art{outline: func(_ context.Context, w, h float64) (artwork.Setting, []finding.Finding, error) {
		a.WidthMM, a.HeightMM = w, h
		return artwork.Set(a.TextSpec(where, words, 0), fonts)
	}}, nil
}

// pictureArt is a bitmap as tone, as a depth map or traced.
func pictureArt(a artwork.Choices, as string, data []byte) (art, []finding.Finding, error) {
	img, list, err := bitmap.Read(a.File, data)
	if err != nil {
		return art{}, nil, err
	}
	if as == "lines" {
		return art{outline: func(ctx context.Context, w, h float64) (artwork.Setting, []finding.Finding, error) {
			o, list, err := artwork.Lines(ctx, a.File, img, a.LinesSpec(), w, h)
			return artwork.Setting{Outline: o}, list, err
		}}, list, nil
	}
	sample := artwork.Tone
	if as == "depth" {
		sample = artwork.Depth
	}
	return art{tone: func(ctx context.Context, w, h, pitchMM float64) (*field.Field, []finding.Finding, error) {
		width, err := artwork.BitmapWidthMM(img, w, h)
		if err != nil {
			return nil, nil, err
		}
		return sample(ctx, a.File, img, a.ToneSpec(), width, pitchMM)
	}}, list, nil
}
