package threemf

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"mouldwright/internal/base/finding"
	"mouldwright/internal/base/format"
)

// maxParts bounds the entries of an archive, maxRels the bytes of its list of
// relationships, maxRatio how much one part may grow when it is unpacked. Our choice:
// deflate itself ends near 1030, meshes as text stay under 60.
const (
	maxParts = 4096
	maxRels  = 1 << 20
	maxRatio = 200
)

// openModel finds the model part of an archive and opens it, bounded: the reader
// fails once more comes out than the limits allow. Entry names are only compared,
// never used as paths of the computer.
func openModel(name string, data []byte, lim format.Limits) (io.Reader, error) {
	if err := lim.CheckBytes(name, int64(len(data))); err != nil {
		return nil, err
	}
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, refusal(name, "", "the file is not a ZIP archive, or is cut short", "a 3MF", err)
	}
	if len(z.File) > maxParts {
		return nil, refusal(name, "", fmt.Sprintf("%d parts in the archive", len(z.File)), fmt.Sprintf("at most %d", maxParts), nil)
	}
	parts := map[string]*zip.File{}
	for _, f := range z.File {
		clean := path.Clean("/" + f.Name)
		if strings.ContainsAny(f.Name, "\\\x00") || strings.HasPrefix(f.Name, "/") || clean != "/"+strings.TrimSuffix(f.Name, "/") {
			return nil, refusal(name, fmt.Sprintf("part %.80q", f.Name), "a name that leads elsewhere", "plain names inside the archive", nil)
		}
		key := strings.ToLower(clean) // part names are equal without regard to case (OPC, 6.2.2.3)
		if parts[key] != nil {
			return nil, refusal(name, fmt.Sprintf("part %.80q", f.Name), "the same part twice", "", nil)
		}
		parts[key] = f
	}
	relsFile := parts["/_rels/.rels"]
	if relsFile == nil {
		return nil, refusal(name, "_rels/.rels", "the archive has no such part", "a 3MF", nil)
	}
	r, err := openPart(name, relsFile, maxRels)
	if err != nil {
		return nil, err
	}
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, wrap(name, "_rels/.rels", err)
	}
	target, err := startTarget(name, text)
	if err != nil {
		return nil, err
	}
	f := parts[strings.ToLower(path.Clean("/"+target))]
	if f == nil {
		return nil, refusal(name, "_rels/.rels", fmt.Sprintf("the model is said to be %.80q, which the archive does not have", target), "", nil)
	}
	return openPart(name, f, lim.Bytes)
}

func openPart(name string, f *zip.File, limit int64) (io.Reader, error) {
	if f.Method != zip.Store && f.Method != zip.Deflate {
		return nil, refusal(name, "part "+f.Name, fmt.Sprintf("compression method %d", f.Method), "stored or deflate", nil)
	}
	if f.Flags&1 != 0 {
		return nil, refusal(name, "part "+f.Name, "the part is encrypted", "an open archive", nil)
	}
	most := min(uint64(limit), 1<<16+maxRatio*f.CompressedSize64)
	if f.UncompressedSize64 > most {
		return nil, tooLarge(name, f.Name, most)
	}
	r, err := f.Open()
	if err != nil {
		return nil, refusal(name, "part "+f.Name, "the part cannot be unpacked", "", err)
	}
	return &bounded{r: r, left: int64(most), err: tooLarge(name, f.Name, most)}, nil
}

func tooLarge(name, part string, most uint64) error {
	return refusal(name, "part "+part, "the part grows too large when it is unpacked",
		fmt.Sprintf("at most %d bytes here, and %d times its packed size", most, maxRatio), nil)
}

// bounded fails with its own error as soon as more than `left` bytes come.
type bounded struct {
	r    io.Reader
	left int64
	err  error
}

func (b *bounded) Read(p []byte) (int, error) {
	if int64(len(p)) > b.left+1 {
		p = p[:b.left+1]
	}
	n, err := b.r.Read(p)
	if b.left -= int64(n); b.left < 0 {
		return 0, b.err
	}
	return n, err
}

// startTarget is the target of the relationship that marks the model.
func startTarget(name string, text []byte) (string, error) {
	var list struct {
		Relationship []struct {
			Type       string `xml:",attr"`
			Target     string `xml:",attr"`
			TargetMode string `xml:",attr"`
		}
	}
	if err := xml.Unmarshal(text, &list); err != nil {
		return "", wrap(name, "_rels/.rels", err)
	}
	for _, r := range list.Relationship {
		if r.Type == startPart && r.TargetMode != "External" {
			return r.Target, nil
		}
	}
	return "", refusal(name, "_rels/.rels", "no relationship names the model", startPart, nil)
}

func refusal(name, key, found, allowed string, err error) error {
	return &finding.Error{File: name, Key: key, Found: found, Allowed: allowed,
		Do: "export the mesh again, as 3MF or as binary STL", Err: err}
}

// wrap words an error from reading or parsing, and lets refusals through as they are.
func wrap(name, key string, err error) error {
	var own *finding.Error
	if errors.As(err, &own) {
		return own
	}
	if err == errDirective {
		return refusal(name, key, "a document type definition", "none: the 3MF standard forbids it", nil)
	}
	var syntax *syntaxError
	if errors.As(err, &syntax) {
		return refusal(name, fmt.Sprintf("%s line %d", key, syntax.line), "this is not well-formed XML", "", errors.New(syntax.what))
	}
	return refusal(name, key, "the part cannot be read", "", err)
}
