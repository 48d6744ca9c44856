package coupon

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/stat/distuv"

	"mouldwright/internal/base/finding"
)

// confidence is the share of cases in which an interval holds the true value (common
// practice, JCGM 100:2008, 6.3).
const confidence = 0.95

// caliperMM is the standard uncertainty of one caliper reading: steps of 0.01 mm and a
// permissible error of 0.02 mm, taken as uniform within it, 0.02/sqrt(3) (the type B
// evaluation of JCGM 100:2008, 4.3.7; the permissible error is that of common digital
// calipers, common practice, no source). Readings that happen to agree better do not
// make a value surer than the caliper is.
const caliperMM = 0.0115

// fit is a linear least squares solution of y = X b.
type fit struct {
	value    []float64
	stdErr   []float64
	residual []float64 // y - X b
	sigma    float64   // standard deviation of a reading, from the residuals
	dof      int
}

// leastSquares solves by QR. Standard errors are the square roots of the diagonal of
// sigma² (XᵀX)⁻¹, sigma² being the sum of squared residuals over the degrees of freedom,
// but sigma not less than caliperMM. It is an error when the readings do not determine all
// values.
func leastSquares(x [][]float64, y []float64) (fit, error) {
	n, p := len(y), 0
	if n > 0 {
		p = len(x[0])
	}
	if n <= p {
		return fit{}, &finding.Error{Found: fmt.Sprintf("%d readings for %d values", n, p), Allowed: fmt.Sprintf("at least %d", p+1), Do: "measure more places of the coupon"}
	}
	a := mat.NewDense(n, p, nil)
	for i, row := range x {
		a.SetRow(i, row)
	}
	var qr mat.QR
	qr.Factorize(a)
	var b, inv mat.Dense
	if err := qr.SolveTo(&b, false, mat.NewDense(n, 1, y)); err != nil {
		return fit{}, &finding.Error{Found: "the readings are all of one size", Do: "measure places of different sizes"}
	}
	var normal mat.Dense
	normal.Mul(a.T(), a)
	if err := inv.Inverse(&normal); err != nil {
		return fit{}, &finding.Error{Found: "the readings are all of one size", Do: "measure places of different sizes"}
	}
	f := fit{residual: make([]float64, n), dof: n - p}
	sum := 0.0
	for i := range y {
		f.residual[i] = y[i]
		for k := range p {
			f.residual[i] -= x[i][k] * b.At(k, 0)
		}
		sum += f.residual[i] * f.residual[i]
	}
	f.sigma = math.Sqrt(sum / float64(f.dof))
	for k := range p {
		f.value = append(f.value, b.At(k, 0))
		f.stdErr = append(f.stdErr, math.Max(f.sigma, caliperMM)*math.Sqrt(inv.At(k, k)))
	}
	return f, nil
}

// studentT is the factor on a standard error for a two-sided interval of the given
// confidence.
func studentT(confidence float64, dof int) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: float64(dof)}.Quantile((1 + confidence) / 2)
}

// half is half the width of value k's interval.
func (f fit) half(k int) float64 { return f.stdErr[k] * studentT(confidence, f.dof) }

// outlier is the reading that does not go with the others: the largest externally
// studentised residual, when its Bonferroni-corrected two-sided probability is below 1 %
// (R. D. Cook, S. Weisberg, Residuals and Influence in Regression, 1982, 2.2.2). rest is
// the fit without it; i is -1 when all go together, or when they are too few to tell.
// A residual within three standard uncertainties of the caliper is never one.
func outlier(x [][]float64, y []float64) (i int, rest fit) {
	i = -1
	if len(y) < 4 {
		return i, rest
	}
	worst := 0.0
	for k := range y {
		xs, ys := without(x, k), without(y, k)
		f, err := leastSquares(xs, ys)
		if err != nil || f.dof < 1 {
			continue
		}
		// The deleted reading against what the others predict for it.
		d := y[k]
		for j, v := range f.value {
			d -= x[k][j] * v
		}
		if math.Abs(d) < 3*caliperMM {
			continue
		}
		s := math.Max(f.sigma, caliperMM) * math.Sqrt(1+leverage(xs, x[k]))
		t := math.Abs(d) / s
		if p := 2 * float64(len(y)) * (distuv.StudentsT{Sigma: 1, Nu: float64(f.dof)}).Survival(t); p < 0.01 && t > worst {
			worst, i, rest = t, k, f
		}
	}
	return i, rest
}

// leverage is r (XᵀX)⁻¹ rᵀ.
func leverage(x [][]float64, r []float64) float64 {
	a := mat.NewDense(len(x), len(r), nil)
	for i, row := range x {
		a.SetRow(i, row)
	}
	var normal, inv, v mat.Dense
	normal.Mul(a.T(), a)
	if inv.Inverse(&normal) != nil {
		return math.Inf(1)
	}
	row := mat.NewDense(1, len(r), r)
	v.Mul(row, &inv)
	return mat.Dot(v.RowView(0), row.RowView(0))
}

func without[T any](list []T, k int) []T {
	return append(append([]T(nil), list[:k]...), list[k+1:]...)
}
