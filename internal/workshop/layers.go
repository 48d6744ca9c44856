package workshop

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"mouldwright/internal/base/format"
	"mouldwright/internal/base/format/threemf"
	"mouldwright/internal/base/material"
	"mouldwright/internal/flow"
	"mouldwright/internal/flow/plate"
)

// stackCache keeps the plate that was last cut into layers: a slider asks for one
// layer of it after the other.
type stackCache struct {
	mu    sync.Mutex
	key   string
	stack *plate.Stack
}

// getLayer draws the image of one layer of a built plate, from the very file that is
// printed. Only a current build has layers: an older one may be of another printer.
func (s *Server) getLayer(w http.ResponseWriter, r *http.Request) error {
	u, plan, err := s.current()
	if err != nil {
		return err
	}
	n, nErr := strconv.Atoi(r.PathValue("plate"))
	name, isPNG := strings.CutSuffix(r.PathValue("image"), ".png")
	k, kErr := strconv.Atoi(name)
	if nErr != nil || kErr != nil || !isPNG || n < 1 || n > len(plan.Plates) || k < 1 || k > plan.Plates[n-1].Layers {
		return refusal{http.StatusNotFound, Mistake{Found: "no such layer", Allowed: "plate and layer from 1, as plan.json counts them"}}
	}
	st, err := s.stackOf(r.Context(), u, plan, n)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := st.WritePNG(r.Context(), k-1, &b); err != nil {
		return err
	}
	w.Header().Set("Content-Type", "image/png")
	_, err = w.Write(b.Bytes())
	return err
}

// get gives the stack of a plate's file, whose SHA-256 is its key.
func (c *stackCache) get(ctx context.Context, u usable, file, sha string) (*plate.Stack, error) {
	c.mu.Lock()
	defer c.mu.Unlock()
	if c.key == sha {
		return c.stack, nil
	}
	m, err := readPlate(u, file)
	if err != nil {
		return nil, err
	}
	st, err := plate.NewStack(ctx, flow.Solids(m), printerOf(u))
	if err != nil {
		return nil, fmt.Errorf("layers of %s: %w", file, err)
	}
	c.key, c.stack = sha, st
	return st, nil
}

// readPlate reads the file of a built plate.
func readPlate(u usable, file string) (*threemf.Model, error) {
	f, err := u.desk.root.Open(outName + "/" + file)
	if err != nil {
		return nil, refusal{http.StatusNotFound, Mistake{File: file, Found: "not in the results' folder any more", Do: "build again"}}
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, maxPlateFile))
	if err != nil {
		return nil, err
	}
	return threemf.Read(file, data, format.Usual())
}

// maxPlateFile bounds the file of one plate: 10^7 triangles take about 100 MB.
const maxPlateFile = 512 * mb

func printerOf(u usable) material.Printer { return u.in.Choices.Printer }
