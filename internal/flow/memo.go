package flow

import (
	"context"
	"sync"
)

// memo keeps what was made for a key, the lately used up to a total weight. Of those
// who ask for one key at a time, one makes it and the others wait for it.
type memo[T any] struct {
	most  int64 // total weight kept
	mu    sync.Mutex
	cells map[[32]byte]*cell[T]
	total int64
	clock int64
}

type cell[T any] struct {
	busy   chan struct{} // holds one token while someone makes the value
	done   bool
	value  T
	weight int64
	used   int64
}

func newMemo[T any](most int64) *memo[T] { return &memo[T]{most: most, cells: map[[32]byte]*cell[T]{}} }

// get gives the value of a key, which create makes where there is none. Errors are not
// kept.
func (m *memo[T]) get(ctx context.Context, key [32]byte, create func() (value T, weight int64, err error)) (T, error) {
	c := m.cell(key)
	var zero T
	select {
	case c.busy <- struct{}{}:
	case <-ctx.Done():
		return zero, ctx.Err()
	}
	defer func() { <-c.busy }()
	m.mu.Lock()
	done, value := c.done, c.value
	m.mu.Unlock()
	if done {
		return value, nil
	}
	value, weight, err := create()
	if err != nil {
		m.mu.Lock()
		if m.cells[key] == c && len(c.busy) == 1 {
			delete(m.cells, key) // who waits holds the cell and tries again
		}
		m.mu.Unlock()
		return zero, err
	}
	m.mu.Lock()
	defer m.mu.Unlock()
	c.value, c.weight, c.done = value, weight, true
	if m.cells[key] == c {
		m.total += weight
	}
	m.drop()
	return value, nil
}

func (m *memo[T]) cell(key [32]byte) *cell[T] {
	m.mu.Lock()
	defer m.mu.Unlock()
	c := m.cells[key]
	if c == nil {
		c = &cell[T]{busy: make(chan struct{}, 1)}
		m.cells[key] = c
	}
	m.clock++
	c.used = m.clock
	return c
}

// drop lets go of what was used longest ago, until the rest is light enough. The
// newest stays, however heavy it is.
func (m *memo[T]) drop() {
	for m.total > m.most {
		var oldest *cell[T]
		var at [32]byte
		for k, c := range m.cells {
			if c.done && c.used != m.clock && (oldest == nil || c.used < oldest.used) {
				oldest, at = c, k
			}
		}
		if oldest == nil {
			return
		}
		m.total -= oldest.weight
		delete(m.cells, at)
	}
}
