package chill

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/field"
	"mouldwright/internal/base/finding"
)

// columnMM is the pitch of a Shape's columns (our choice: a cube of half a millimetre has
// four a side).
const columnMM = 0.125

// MaxCells bounds a lattice (our choice: at 80 bytes each, at most 0.7 GB, and twice that
// for two stages at once).
const MaxCells = 8 << 20

// Shape is one cavity with the rubber around it, as columns along the pull direction.
type Shape struct {
	outside, inside *field.Field // heights above the back: of the chocolate, of the room inside (0: none)
	capMM           float64
	highest         float64
	shorter         float64
}

// ShorterMM is the shorter side of the piece.
func (s *Shape) ShorterMM() float64 { return s.shorter }

// NewShape samples a piece and the room inside its shell (nil for a solid piece), with
// half of gapMM of rubber on each side: a cavity among its like, where no heat flows
// sideways. The sides are rounded up to whole millimetres.
func NewShape(ctx context.Context, relief, room *field.Field, capMM, gapMM float64) (*Shape, error) {
	box := footprint(relief)
	w, d := math.Ceil(box.w+gapMM), math.Ceil(box.d+gapMM)
	nx, ny := int(w/columnMM+0.5), int(d/columnMM+0.5)
	if !(w > 0 && d > 0) || nx*ny > MaxCells {
		return nil, &finding.Error{Found: fmt.Sprintf("a piece of %g x %g mm", w, d), Allowed: "at most 300 x 300 mm", Do: "make the piece smaller"}
	}
	g := field.Grid{W: nx, H: ny, PitchMM: columnMM, X0: box.x - w/2 + columnMM/2, Y0: box.y - d/2 + columnMM/2}
	s := &Shape{outside: field.New(g), inside: field.New(g), capMM: capMM, shorter: math.Min(box.w, box.d)}
	err := field.ForRows(ctx, ny, func(j0, j1 int) {
		for j := j0; j < j1; j++ {
			out, in := s.outside.Row(j), s.inside.Row(j)
			for i := range out {
				p := g.XY(i, j)
				out[i] = float32(heightAt(relief, p.X, p.Y))
				if room != nil {
					in[i] = min(out[i], float32(heightAt(room, p.X, p.Y)))
				}
			}
		}
	})
	for _, z := range s.outside.Z {
		s.highest = math.Max(s.highest, float64(z))
	}
	return s, err
}

type rect struct{ x, y, w, d float64 }

// footprint is the rectangle of what stands above the back.
func footprint(f *field.Field) rect {
	i0, i1, j0, j1 := f.W, -1, f.H, -1
	for j := range f.H {
		for i, z := range f.Row(j) {
			if z > 0 {
				i0, i1, j0, j1 = min(i0, i), max(i1, i), min(j0, j), max(j1, j)
			}
		}
	}
	if i1 < 0 {
		return rect{}
	}
	a, b := f.XY(i0, j0), f.XY(i1, j1)
	return rect{(a.X + b.X) / 2, (a.Y + b.Y) / 2, b.X - a.X + f.PitchMM, b.Y - a.Y + f.PitchMM}
}

// heightAt is a field's value, 0 outside it and where it is below the back.
func heightAt(f *field.Field, x, y float64) float64 {
	b := f.Bounds()
	if x < b.Min.X || x > b.Max.X || y < b.Min.Y || y > b.Max.Y {
		return 0
	}
	p := b.Min
	p.X, p.Y = x, y
	return math.Max(0, f.Sample(p))
}

// mould is a lattice filled for one stage. Layer 0 lies at the open side, where the
// back is; the art is deep inside.
type mould struct {
	*block
	cellMM   float64
	airC     float64
	x0, y0   float64 // middle of cube (0, 0)
	cells    []int32 // cubes that hold chocolate
	share    []float32
	rise     []float32 // K by which a cube warms when all its chocolate crystallises
	counts   []bool    // whether a cube holds enough chocolate to be asked whether it is set
	cubeHeat []float64 // J/K of each cube, for balances
	parts    []parts
}

// parts is what one cube holds, as shares of its volume; the rest is air.
type parts struct{ shell, cap, filling, rubber float32 }

func (p parts) all() float32 { return p.shell + p.cap + p.filling + p.rubber }

// leastShare is the share of a cube below which its matter is left out (our choice: a
// sliver would force short steps and holds next to no heat).
const leastShare = 0.05

func newMould(s *Shape, c Conditions, stage Stage, cellMM float64) (*mould, error) {
	n := int(math.Round(cellMM / columnMM))
	if n < 1 || n > 16 || math.Abs(float64(n)*columnMM-cellMM) > 1e-9 {
		return nil, &finding.Error{Key: "cell", Found: fmt.Sprintf("%g mm", cellMM), Allowed: "1 to 16 times 0.125 mm"}
	}
	depth := s.highest + c.UnderMM
	nx, ny, nz := (s.outside.W+n-1)/n, (s.outside.H+n-1)/n, int(math.Ceil(depth/cellMM-1e-9))
	if nz < 1 || nx*ny*nz > MaxCells {
		return nil, &finding.Error{Key: "cell", Found: fmt.Sprintf("%d x %d x %d cubes", nx, ny, nz), Allowed: fmt.Sprintf("at most %d", MaxCells), Do: "use larger cubes"}
	}
	m := &mould{block: newBlock(nx, ny, nz), cellMM: cellMM, airC: c.AirC}
	half := (cellMM - columnMM) / 2
	m.x0, m.y0 = s.outside.X0+half, s.outside.Y0+half
	m.parts = make([]parts, len(m.u))
	mouth := m.fill(s, stage, n, depth)
	m.heat(c, stage)
	m.wind(c, nx, ny, nz, mouth)
	m.limit()
	return m, nil
}

// most is how many columns a side a cube looks at (our choice: 64 give its share of each
// matter to a few per cent).
const most = 8

// fill shares the columns out to the cubes and returns the area of the open mouth, mm².
func (m *mould) fill(s *Shape, stage Stage, n int, depth float64) (mouth float64) {
	nx, ny, nz := m.nx-2, m.ny-2, m.nz-2
	h := m.cellMM
	stride := max(1, n/most)
	side := (n + stride - 1) / stride
	columns := float64(side * side)
	// One cube more takes what rounding leaves of a depth of whole cubes.
	shell, lid, filling, rubber := make([]float32, nz+1), make([]float32, nz+1), make([]float32, nz+1), make([]float32, nz+1)
	full := float32(1 / columns)
	pour := func(into []float32, z0, z1 float64) {
		if z1 <= z0 {
			return
		}
		first, last := int(z0/h), int(z1/h)
		if first == last {
			into[first] += float32((z1 - z0) / h / columns)
			return
		}
		into[first] += float32((float64(first+1)*h - z0) / h / columns)
		between := into[first+1 : last]
		for k := range between {
			between[k] += full
		}
		into[last] += float32((z1 - float64(last)*h) / h / columns)
	}
	for j := range ny {
		for i := range nx {
			for _, share := range [...][]float32{shell, lid, filling, rubber} {
				clear(share)
			}
			for b := range side * side {
				x, y := min(i*n+b%side*stride+stride/2, s.outside.W-1), min(j*n+b/side*stride+stride/2, s.outside.H-1)
				out, in := float64(s.outside.At(x, y)), float64(s.inside.At(x, y))
				if stage == Solid {
					in = 0
				}
				pour(shell, in, out)
				pour(rubber, out, depth)
				if stage == Cap {
					pour(lid, 0, math.Min(in, s.capMM))
					pour(filling, s.capMM, in)
				} else if in > 0 {
					mouth += columnMM * columnMM * float64(stride*stride)
				}
			}
			for k := range nz {
				if p := (parts{shell[k], lid[k], filling[k], rubber[k]}); p.all() >= leastShare {
					m.parts[m.at(i, j, k)] = p
				}
			}
		}
	}
	return mouth
}

// heat sets capacities, conductances and the state at the start.
func (m *mould) heat(c Conditions, stage Stage) {
	cube := math.Pow(m.cellMM/1000, 3)
	conductivity, matter := make([]float32, len(m.u)), make([]float32, len(m.u))
	m.cubeHeat = make([]float64, len(m.u))
	for p, v := range m.parts {
		all := float64(v.all())
		if all == 0 {
			continue
		}
		choc := float64(v.shell + v.cap)
		jk := cube * (choc*c.ChocolateJM3K + float64(v.filling)*c.FillingJM3K + float64(v.rubber)*c.RubberJM3K)
		m.cubeHeat[p], m.inv[p] = jk, float32(1/jk)
		conductivity[p] = float32((choc*c.ChocolateWMK + float64(v.filling)*c.FillingWMK + float64(v.rubber)*c.RubberWMK) / all)
		matter[p] = float32(all)
		shellC := c.ChocolateC
		if stage == Cap {
			shellC = c.MouldC
		}
		joules := cube * (float64(v.shell)*c.ChocolateJM3K*shellC + float64(v.cap)*c.ChocolateJM3K*c.ChocolateC +
			float64(v.filling)*c.FillingJM3K*c.FillingC + float64(v.rubber)*c.RubberJM3K*c.MouldC)
		m.u[p] = float32(joules/jk - c.AirC)
		if choc == 0 || c.MeltingJM3 == 0 {
			continue
		}
		seed := c.SeedShare
		if stage == Cap {
			seed = (float64(v.cap)*c.SeedShare + float64(v.shell)*c.ShellShare) / choc
		}
		m.cells = append(m.cells, int32(p))
		m.share = append(m.share, float32(seed))
		m.rise = append(m.rise, float32(cube*choc*c.MeltingJM3/jk))
		m.counts = append(m.counts, choc >= 0.4)
	}
	m.join(conductivity, matter, m.cellMM)
}

// wind joins the surfaces to the air: the open side, the board below, and the walls of
// an empty shell. The air in a shell is still and gives its heat away through the mouth
// alone, so its walls together get what the mouth would have if it were flat.
func (m *mould) wind(c Conditions, nx, ny, nz int, mouthMM2 float64) {
	face := m.cellMM * m.cellMM * 1e-6
	h := m.cellMM / 1000
	bottom := 1 / (1/c.FilmWM2K + c.BoardMM/1000/boardWMK)
	toAir := func(p int, film, area float64) {
		if m.inv[p] == 0 || area <= 0 {
			return
		}
		k := (float64(m.parts[p].shell+m.parts[p].cap)*c.ChocolateWMK + float64(m.parts[p].filling)*c.FillingWMK + float64(m.parts[p].rubber)*c.RubberWMK) / float64(m.parts[p].all())
		m.air[p] += float32(area / (1/film + h/2/k)) // half a cube, then the film
	}
	inner := 0.0 // area of the walls inside
	row, layer := m.nx, m.nx*m.ny
	walls := func(do func(p int, area float64)) {
		for k := range nz {
			for j := range ny {
				for i := range nx {
					p := m.at(i, j, k)
					for _, q := range [...]int{p - 1, p + 1, p - row, p + row, p - layer, p + layer} {
						if (q == p-layer && k == 0) || (q == p+layer && k == nz-1) ||
							(q == p-1 && i == 0) || (q == p+1 && i == nx-1) || (q == p-row && j == 0) || (q == p+row && j == ny-1) {
							continue
						}
						if bare := float64(m.parts[p].all() - m.parts[q].all()); bare > 0 {
							do(p, bare*face)
						}
					}
				}
			}
		}
	}
	if mouthMM2 > 0 {
		walls(func(_ int, area float64) { inner += area })
		share := math.Min(1, mouthMM2*1e-6/inner)
		walls(func(p int, area float64) { toAir(p, c.FilmWM2K*share, area) })
	}
	for j := range ny {
		for i := range nx {
			top, low := m.at(i, j, 0), m.at(i, j, nz-1)
			toAir(top, c.FilmWM2K, face*float64(m.parts[top].all()))
			toAir(low, bottom, face)
		}
	}
}

// settle lets the chocolate crystallise for stepS after time nowS, notes in the map
// when a cube is set, and returns the cube that was last to set once all are, or -1.
func (m *mould) settle(k Kinetics, stepS, nowS, firm float64, done *Map) int {
	all := true
	for n, p := range m.cells {
		was := float64(m.share[n])
		now := k.settle(melting, was, float64(m.u[p])+m.airC, float64(m.rise[n]), stepS)
		m.share[n] = float32(now)
		m.u[p] += m.rise[n] * float32(float64(m.share[n])-was)
		if !m.counts[n] || done.Min[n] >= 0 {
			continue
		}
		if now < firm {
			all = false
			continue
		}
		at := nowS + stepS
		if now > was {
			at = nowS + stepS*math.Max(0, (firm-was)/(now-was))
		}
		done.Min[n] = float32(at / 60)
	}
	if !all {
		return -1
	}
	return done.last()
}

// storedJ is the enthalpy above air temperature and all liquid.
func (m *mould) storedJ() float64 {
	sum := 0.0
	for p, jk := range m.cubeHeat {
		sum += jk * float64(m.u[p])
	}
	for n, p := range m.cells {
		sum -= float64(m.share[n]) * float64(m.rise[n]) * m.cubeHeat[p]
	}
	return sum
}

// place is where chocolate cube n stands: x, y and the height above the back.
func (m *mould) place(n int) [3]float64 {
	p := int(m.cells[n])
	i, j, k := p%m.nx-1, p/m.nx%m.ny-1, p/(m.nx*m.ny)-1
	return [3]float64{m.x0 + float64(i)*m.cellMM, m.y0 + float64(j)*m.cellMM, (float64(k) + 0.5) * m.cellMM}
}

func (m *mould) moment(min, lostJ float64) Moment {
	t := Moment{Min: min, LostJ: lostJ, WarmestC: math.Inf(-1), CoolestC: math.Inf(1), LeastShare: 1}
	var choc, rubber, filling, cw, rw, fw float64
	for p, v := range m.parts {
		c := float64(m.u[p])
		if v.rubber > 0 {
			rubber, rw = rubber+float64(v.rubber)*c, rw+float64(v.rubber)
		}
		if v.filling > 0 {
			filling, fw = filling+float64(v.filling)*c, fw+float64(v.filling)
		}
		if v := v.shell + v.cap; v > 0 {
			choc, cw = choc+float64(v)*c, cw+float64(v)
		}
	}
	for n, p := range m.cells {
		if m.counts[n] {
			t.WarmestC = math.Max(t.WarmestC, float64(m.u[p])+m.airC)
			t.CoolestC = math.Min(t.CoolestC, float64(m.u[p])+m.airC)
			t.LeastShare = math.Min(t.LeastShare, float64(m.share[n]))
		}
	}
	mean := func(sum, w float64) float64 {
		if w == 0 {
			return m.airC
		}
		return sum/w + m.airC
	}
	t.ChocolateC, t.RubberC, t.FillingC = mean(choc, cw), mean(rubber, rw), mean(filling, fw)
	if fw == 0 {
		t.FillingC = t.ChocolateC
	}
	return t
}
