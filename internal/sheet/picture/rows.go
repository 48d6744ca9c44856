package picture

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// rows calls do for bands of 16 of the rows 0..n-1 on all cores.
func rows(ctx context.Context, n int, do func(from, to int)) error {
	return bands(ctx, n, 16, do)
}

// bands calls do for bands of 0..n-1 on all cores. Bands write apart from each
// other, so that the result is the same on any number of cores.
func bands(ctx context.Context, n, band int, do func(from, to int)) error {
	workers := min(runtime.GOMAXPROCS(0), (n+band-1)/band)
	var next atomic.Int64
	var wg sync.WaitGroup
	for range workers {
		wg.Go(func() {
			for ctx.Err() == nil {
				from := int(next.Add(int64(band))) - band
				if from >= n {
					return
				}
				do(from, min(from+band, n))
			}
		})
	}
	wg.Wait()
	return ctx.Err()
}
