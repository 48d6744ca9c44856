package chill

import "golang.org/x/sys/cpu"

// eights is cubes for as many whole eights of cubes as there are, if the processor has
// AVX, as all have since 2011; it tells how many it has done.
func (s *sweep) eights(o, n int) (done int, lost float32) {
	done = n &^ 7
	if done == 0 || !cpu.X86.HasAVX {
		return 0, 0
	}
	return done, conduct8(&s.out[o], &s.u[o], &s.gx[o], &s.gy[o], &s.gz[o], &s.air[o], &s.inv[o], s.nx, s.nx*s.ny, done, s.mu, s.nu, s.tau)
}

//go:noescape
func conduct8(out, u, gx, gy, gz, air, inv *float32, row, layer, n int, mu, nu, tau float32) (lost float32)
