package pour

import (
	"context"
	"testing"

	"pgregory.net/rapid"
)

// brute tries every number of every kit.
func brute(kits []Kit, need int) choice {
	best := choice{cents: 1 << 60}
	var try func(i int, c choice)
	try = func(i int, c choice) {
		if c.massG >= int64(need) {
			if c.less(best) {
				best = c
			}
			return // one more kit of anything is never better
		}
		if i == len(kits) {
			return
		}
		try(i+1, c)
		k := kits[i]
		try(i, choice{c.cents + int64(k.Price*100+0.5), c.massG + int64(k.MassG), c.count + 1, 0})
	}
	try(0, choice{})
	return best
}

func TestCheapestAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var kits []Kit
		dearest := rapid.SampledFrom([]int{3, 500}).Draw(t, "dearest") // few prices make many ties
		for range rapid.IntRange(1, 4).Draw(t, "kits") {
			kits = append(kits, Kit{MassG: rapid.IntRange(1, 60).Draw(t, "mass"), Price: float64(rapid.IntRange(0, dearest).Draw(t, "cents")) / 100})
		}
		need := rapid.IntRange(0, 120).Draw(t, "need")
		for i := range kits {
			kits[i].MassG += need / 12 // keeps the number of trials small
		}
		got, err := cheapest(context.Background(), kits, float64(need))
		if err != nil {
			t.Fatal(err)
		}
		var sum choice
		for _, b := range got {
			n := int64(b.Count)
			sum.cents += n * int64(kits[b.Kit].Price*100+0.5)
			sum.massG += n * int64(kits[b.Kit].MassG)
			sum.count += b.Count
		}
		if want := brute(kits, need); sum.cents != want.cents || sum.massG != want.massG || sum.count != want.count {
			t.Fatalf("need %d g of %+v: bought %+v, brute force %+v", need, kits, sum, want)
		}
	})
}

// By hand: for 1100 g, one kit of 1000 g at 40 and one of 200 g at 12 are 52; six of
// 200 g would be 72, two of 1000 g 80.
func TestCheapestByHand(t *testing.T) {
	kits := []Kit{{MassG: 1000, Price: 40}, {MassG: 200, Price: 12}}
	got, err := cheapest(context.Background(), kits, 1099.5)
	if err != nil || len(got) != 2 || got[0] != (Buy{0, 1}) || got[1] != (Buy{1, 1}) {
		t.Errorf("%v %v", got, err)
	}
}

func TestKitLimits(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := cheapest(ctx, []Kit{{MassG: 1}}, 10_000); err == nil {
		t.Error("went on after it was cancelled")
	}
	for _, need := range []float64{-1, MaxNeedG + 1} {
		if _, err := cheapest(context.Background(), []Kit{{MassG: 1}}, need); err == nil {
			t.Errorf("%g g were chosen for", need)
		}
	}
	if _, err := cheapest(context.Background(), []Kit{{MassG: 0}}, 1); err == nil {
		t.Error("a kit of nothing was taken")
	}
	if _, err := cheapest(context.Background(), make([]Kit, MaxKits+1), 1); err == nil {
		t.Error("too many kits were taken")
	}
}

func BenchmarkCheapest(b *testing.B) {
	kits := []Kit{{MassG: 500, Price: 31}, {MassG: 1000, Price: 55}, {MassG: 2000, Price: 99}, {MassG: 5000, Price: 230}, {MassG: 25000, Price: 990}}
	for b.Loop() {
		if _, err := cheapest(context.Background(), kits, MaxNeedG); err != nil {
			b.Fatal(err)
		}
	}
}
