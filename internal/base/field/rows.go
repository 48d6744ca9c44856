package field

import (
	"context"
	"runtime"
	"sync"
	"sync/atomic"
)

// ForRows calls do for bands of the rows 0..h-1, on as many cores as there are,
// and returns the context's error if it was cancelled on the way. Each row comes
// in exactly one band; do may write what belongs to its rows and nothing else, so
// that results do not depend on the number of cores.
func ForRows(ctx context.Context, h int, do func(j0, j1 int)) error {
	return forBands(ctx, h, max(1, min(64, h/32)), do)
}

// forBands is ForRows with bands of a given height.
func forBands(ctx context.Context, h, band int, do func(j0, j1 int)) error {
	bands := (h + band - 1) / band
	workers := min(runtime.GOMAXPROCS(0), bands)
	var next atomic.Int64
	work := func() {
		for ctx.Err() == nil {
			k := int(next.Add(1)) - 1
			if k >= bands {
				return
			}
			do(k*band, min(h, (k+1)*band))
		}
	}
	if workers <= 1 {
		work()
		return ctx.Err()
	}
	var wg sync.WaitGroup
	for range workers {
		wg.Go(work)
	}
	wg.Wait()
	return ctx.Err()
}
