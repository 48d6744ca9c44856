package pour

import (
	"context"
	"fmt"
	"math"

	"mouldwright/internal/base/finding"
)

// Kit is one size in which the rubber is sold, A and B together in the right ratio:
// the job file's [[kit]].
type Kit struct {
	Name         string  `toml:"name" doc:"what the kit is called on the shopping list"`
	MassG        int     `toml:"mass_g" min:"1" max:"1000000" doc:"A and B together"`
	Price        float64 `toml:"price" min:"0" max:"1000000" doc:"price of one, in your money; at most two decimals count"`
	OpenedMonths float64 `toml:"opened_months" default:"6" min:"0" max:"120" doc:"how long an opened kit keeps, as its data sheet says (6 months: common practice, no source)"`
}

// Buy is so many of one kit.
type Buy struct {
	Kit   int // index into the kits
	Count int
}

// MaxNeedG and MaxKits bound the choice of kits (our choice: 200 kg fill a large bench, and
// no shop has fifty sizes).
const (
	MaxNeedG = 200_000
	MaxKits  = 50
)

// choice is the best way to have at least some mass: compared by price, then by mass
// bought, then by number of kits.
type choice struct {
	cents, massG int64
	count        int
	last         int // the kit added last; -1 for none
}

func (a choice) less(b choice) bool {
	if a.cents != b.cents {
		return a.cents < b.cents
	}
	if a.massG != b.massG {
		return a.massG < b.massG
	}
	return a.count < b.count
}

// cheapest finds the kits that cost least and hold at least needG together; among
// equal prices those that leave least over, then the fewest. It is exact: the
// unbounded knapsack solved gram by gram (R. Bellman 1957), since the best way to g
// grams ends in some kit and is else the best way to the rest.
func cheapest(ctx context.Context, kits []Kit, needG float64) ([]Buy, error) {
	if len(kits) > MaxKits {
		return nil, &finding.Error{Key: "kit", Found: fmt.Sprintf("%d kits", len(kits)), Allowed: fmt.Sprintf("at most %d", MaxKits), Do: "leave out sizes that you would not buy"}
	}
	if !(needG >= 0 && needG <= MaxNeedG) {
		return nil, &finding.Error{Key: "kit", Found: fmt.Sprintf("%.0f g of rubber to buy", needG), Allowed: fmt.Sprintf("at most %d g", MaxNeedG), Do: "smaller trays, and make the moulds one after the other"}
	}
	cents := make([]int64, len(kits))
	for i, k := range kits {
		if k.MassG < 1 || !(k.Price >= 0 && k.Price <= 1e9) {
			return nil, &finding.Error{Key: fmt.Sprintf("kit[%d]", i+1), Found: fmt.Sprintf("%d g for %g", k.MassG, k.Price), Allowed: "a mass of at least 1 g, a price of 0 or more", Do: "write its mass of A and B together, and its price"}
		}
		cents[i] = int64(math.Round(k.Price * 100))
	}
	if len(kits) == 0 {
		return nil, nil
	}
	need := int(math.Ceil(needG))
	best := make([]choice, need+1)
	best[0].last = -1
	for g := 1; g <= need; g++ {
		if g%4096 == 0 && ctx.Err() != nil {
			return nil, ctx.Err()
		}
		for i, k := range kits {
			c := best[max(0, g-k.MassG)]
			c = choice{c.cents + cents[i], c.massG + int64(k.MassG), c.count + 1, i}
			if i == 0 || c.less(best[g]) {
				best[g] = c
			}
		}
	}
	counts := make([]int, len(kits))
	for g := need; g > 0; g = max(0, g-kits[best[g].last].MassG) {
		counts[best[g].last]++
	}
	var out []Buy
	for i, n := range counts {
		if n > 0 {
			out = append(out, Buy{i, n})
		}
	}
	return out, nil
}
