package mould

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
)

// terms is the number of terms summed of the series for a plate. Terms fall at least
// as 1/m³ (twisting of a low plate), so that what is left out is under 0.01 %.
const terms = 60

// top is how the upper edge of a panel is held.
type top int

const (
	freeTop top = iota // nothing holds it
	heldTop            // it cannot move, but may turn
)

// bulge is the largest deflection of a rectangular plate under the side pressure of a
// liquid, as a multiple of q0 a⁴ / D: a is its length, height its height as a share of
// that, q0 the pressure at its foot, D its stiffness. Foot and both ends cannot move
// but may turn. Pressure falls evenly to foot share `left` of q0 at the top: 0 for a
// liquid, 1 for an even pressure.
//
// M. Lévy's series (S. Timoshenko, S. Woinowsky-Krieger, Theory of Plates and Shells,
// 2nd ed. 1959, ch. 5-6): w = sum Y_m(y) sin(m pi x / a) over odd m, where Y_m is a
// linear particular solution and four exponentials that fit foot and top.
func bulge(height, left, poisson float64, edge top) (float64, error) {
	if !(height >= 0.002 && height < 20) || !(poisson >= 0 && poisson <= 0.5) {
		return 0, fmt.Errorf("mould: a panel %g times as high as long with Poisson's ratio %g", height, poisson)
	}
	const rows = 40 // heights at which the middle of the panel is looked at
	var w [rows + 1]float64
	for k := range terms {
		m := float64(2*k + 1)
		alpha := m * math.Pi
		part := 4 / math.Pow(alpha, 5)
		beta := alpha * height
		c, err := coefficients(beta, part, left, poisson, edge)
		if err != nil {
			return 0, err
		}
		sign := 1.0
		if k%2 == 1 {
			sign = -1
		}
		for i := range w {
			s := float64(i) / rows
			up, down := beta*s, beta*(1-s)
			y := part * (1 - (1-left)*s)
			y += (c[0] + c[1]*up) * math.Exp(-up)
			y += (c[2] + c[3]*down) * math.Exp(-down)
			w[i] += sign * y
		}
	}
	most := 0.0
	for _, v := range w {
		most = max(most, v)
	}
	return most, nil
}

// coefficients of e^-u, u e^-u, e^-v, v e^-v with u = alpha y and v = alpha (b - y),
// from the two conditions at the foot and the two at the top. Derivatives are by
// alpha y; the linear particular solution has only the first.
func coefficients(beta, part, left, poisson float64, edge top) ([4]float64, error) {
	// f, f', f'', f''' of the four functions at u = p (v = beta - p).
	at := func(p float64) [4][4]float64 {
		e, v := math.Exp(-p), beta-p
		g := math.Exp(-v)
		return [4][4]float64{
			{e, -e, e, -e},
			{p * e, (1 - p) * e, (p - 2) * e, (3 - p) * e},
			{g, g, g, g},
			{v * g, (v - 1) * g, (v - 2) * g, (v - 3) * g},
		}
	}
	foot, head := at(0), at(beta)
	fall := -part * (1 - left) / beta // derivative of the particular solution
	a := mat.NewDense(4, 4, nil)
	b := mat.NewVecDense(4, nil)
	for j := range 4 {
		a.Set(0, j, foot[j][0])
		a.Set(1, j, foot[j][2])
		if edge == heldTop {
			a.Set(2, j, head[j][0])
			a.Set(3, j, head[j][2])
			continue
		}
		a.Set(2, j, head[j][2]-poisson*head[j][0])
		a.Set(3, j, head[j][3]-(2-poisson)*head[j][1])
	}
	b.SetVec(0, -part)
	if edge == heldTop {
		b.SetVec(2, -part*left)
	} else {
		b.SetVec(2, poisson*part*left)
		b.SetVec(3, (2-poisson)*fall)
	}
	var x mat.VecDense
	if err := x.SolveVec(a, b); err != nil {
		if _, near := err.(mat.Condition); !near {
			return [4]float64{}, fmt.Errorf("mould: panel: %w", err)
		}
	}
	return [4]float64{x.AtVec(0), x.AtVec(1), x.AtVec(2), x.AtVec(3)}, nil
}

// stiffness of a plate in N mm: E t³ / (12 (1 - nu²)), E in MPa, t in mm.
func stiffness(modulusMPa, thickMM, poisson float64) float64 {
	return modulusMPa * thickMM * thickMM * thickMM / (12 * (1 - poisson*poisson))
}
