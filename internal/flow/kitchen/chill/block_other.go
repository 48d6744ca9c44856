//go:build !amd64

package chill

// eights does none: only block_amd64.go does.
func (s *sweep) eights(o, n int) (done int, lost float32) { return 0, 0 }
