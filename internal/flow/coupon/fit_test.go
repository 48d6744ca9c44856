package coupon

import (
	"math"
	"testing"
)

// The data set Norris of NIST's Statistical Reference Datasets (linear regression,
// lower level of difficulty), with its certified values.
var norris = [][2]float64{ // y, x
	{0.1, 0.2}, {338.8, 337.4}, {118.1, 118.2}, {888.0, 884.6}, {9.2, 10.1}, {228.1, 226.5}, {668.5, 666.3}, {998.5, 996.3},
	{449.1, 448.6}, {778.9, 777.0}, {559.2, 558.2}, {0.3, 0.4}, {0.1, 0.6}, {778.1, 775.5}, {668.8, 666.9}, {339.3, 338.0},
	{448.9, 447.5}, {10.8, 11.6}, {557.7, 556.0}, {228.3, 228.1}, {998.0, 995.8}, {888.8, 887.6}, {119.6, 120.2}, {0.3, 0.3},
	{0.6, 0.3}, {557.6, 556.8}, {339.3, 339.1}, {888.0, 887.2}, {998.5, 999.0}, {778.9, 779.0}, {10.2, 11.1}, {117.6, 118.3},
	{228.9, 229.2}, {668.4, 669.1}, {449.2, 448.9}, {0.2, 0.5},
}

func TestLeastSquaresAgainstNorris(t *testing.T) {
	var x [][]float64
	var y []float64
	for _, p := range norris {
		x, y = append(x, []float64{1, p[1]}), append(y, p[0])
	}
	f, err := leastSquares(x, y)
	if err != nil {
		t.Fatal(err)
	}
	// QR in double precision is good for eleven figures on these data.
	for _, c := range []struct {
		what      string
		got, want float64
	}{
		{"B0", f.value[0], -0.262323073774029}, {"B1", f.value[1], 1.00211681802045},
		{"standard deviation of B0", f.stdErr[0], 0.232818234301152}, {"standard deviation of B1", f.stdErr[1], 0.429796848199937e-3},
		{"residual standard deviation", f.sigma, 0.884796396144373},
	} {
		if math.Abs(c.got/c.want-1) > 1e-10 {
			t.Errorf("%s: %.15g, certified %.15g", c.what, c.got, c.want)
		}
	}
	if f.dof != 34 {
		t.Errorf("%d degrees of freedom, certified 34", f.dof)
	}
}

// Two-sided 95 % and one 99 % value of Student's t from the table in D. Zwillinger, S.
// Kokoska, CRC Standard Probability and Statistics Tables, 2000, three decimals.
func TestStudentTAgainstTable(t *testing.T) {
	for _, c := range []struct {
		confidence float64
		dof        int
		want       float64
	}{{0.95, 1, 12.706}, {0.95, 2, 4.303}, {0.95, 5, 2.571}, {0.95, 10, 2.228}, {0.95, 30, 2.042}, {0.99, 5, 4.032}, {0.9, 5, 2.015}} {
		if got := studentT(c.confidence, c.dof); math.Abs(got-c.want) > 0.0006 {
			t.Errorf("t of %g with %d degrees of freedom: %.4f, table %.3f", c.confidence, c.dof, got, c.want)
		}
	}
}

func TestTooFewReadingsAreRefused(t *testing.T) {
	if _, err := leastSquares([][]float64{{1, 2}, {1, 3}}, []float64{1, 2}); err == nil {
		t.Error("two readings for two values are taken")
	}
	if _, err := leastSquares([][]float64{{1, 2}, {1, 2}, {1, 2}}, []float64{1, 2, 3}); err == nil {
		t.Error("one size for two values is taken")
	}
}
