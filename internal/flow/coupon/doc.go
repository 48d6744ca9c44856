// Package coupon makes small test parts and learns from what was measured on them, so
// that measured values take the place of assumed ones.
//
//	printer, resin, fonts, cure test --Make--> Coupons (closed meshes, and what to measure where)
//	[[coupon]] of the job            --Read--> Learned (values by the job's keys, with their
//	                                           uncertainty; what contradicts itself)
//
// Five kinds: foot (how far the first layers bulge), size (shrinkage and light bleed),
// detail (the finest line, gap and figure that print), chocolate (the same through
// rubber and chocolate), and pads for the cure test. All but the chocolate one are
// printed as drawn, with nothing compensated: they are there to show what the printer
// does. kinds.go lists what stands on each; read.go holds the rules for readings.
package coupon
