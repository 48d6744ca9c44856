// conduct8 is (*sweep).cubes of block.go for eight cubes at once, in the same order of
// operations, so that each cube's result is the same to the bit.

#include "textflag.h"

// func conduct8(out, u, gx, gy, gz, air, inv *float32, row, layer, n int, mu, nu, tau float32) (lost float32)
// n is a multiple of 8, above 0.
TEXT ·conduct8(SB), NOSPLIT, $0-100
	MOVQ out+0(FP), DI
	MOVQ u+8(FP), SI
	MOVQ gx+16(FP), AX
	MOVQ gy+24(FP), BX
	MOVQ gz+32(FP), DX
	MOVQ air+40(FP), R13
	MOVQ inv+48(FP), R15
	MOVQ row+56(FP), R8
	SHLQ $2, R8
	MOVQ BX, CX
	SUBQ R8, CX              // gy of the row before
	LEAQ (SI)(R8*1), R9      // u of the row after
	NEGQ R8
	ADDQ SI, R8              // u of the row before
	MOVQ layer+64(FP), R10
	SHLQ $2, R10
	MOVQ DX, R12
	SUBQ R10, R12            // gz of the layer below
	LEAQ (SI)(R10*1), R11    // u of the layer above
	NEGQ R10
	ADDQ SI, R10             // u of the layer below
	VBROADCASTSS mu+80(FP), Y10
	VBROADCASTSS nu+84(FP), Y11
	VBROADCASTSS tau+88(FP), Y12
	VXORPS Y9, Y9, Y9        // lost
	XORQ R14, R14

loop:
	VMOVUPS (SI)(R14*4), Y0          // c
	VSUBPS  4(SI)(R14*4), Y0, Y1
	VMULPS  (AX)(R14*4), Y1, Y1      // gx (c - east)
	VSUBPS  -4(SI)(R14*4), Y0, Y2
	VMULPS  -4(AX)(R14*4), Y2, Y2
	VADDPS  Y2, Y1, Y1               // + gx' (c - west)
	VSUBPS  (R8)(R14*4), Y0, Y2
	VMULPS  (CX)(R14*4), Y2, Y2
	VADDPS  Y2, Y1, Y1               // + gy' (c - south)
	VSUBPS  (R9)(R14*4), Y0, Y2
	VMULPS  (BX)(R14*4), Y2, Y2
	VADDPS  Y2, Y1, Y1               // + gy (c - north)
	VSUBPS  (R10)(R14*4), Y0, Y2
	VMULPS  (R12)(R14*4), Y2, Y2
	VADDPS  Y2, Y1, Y1               // + gz' (c - below)
	VSUBPS  (R11)(R14*4), Y0, Y2
	VMULPS  (DX)(R14*4), Y2, Y2
	VADDPS  Y2, Y1, Y1               // + gz (c - above)
	VMULPS  (R13)(R14*4), Y0, Y2     // air c
	VADDPS  Y2, Y1, Y1
	VADDPS  Y2, Y9, Y9
	VMULPS  (R15)(R14*4), Y12, Y3
	VMULPS  Y1, Y3, Y3               // tau inv leaves
	VMULPS  Y0, Y10, Y4
	VMULPS  (DI)(R14*4), Y11, Y5
	VADDPS  Y5, Y4, Y4               // mu c + nu out
	VSUBPS  Y3, Y4, Y4
	VMOVUPS Y4, (DI)(R14*4)
	ADDQ    $8, R14
	CMPQ    R14, n+72(FP)
	JLT     loop

	VEXTRACTF128 $1, Y9, X0
	VADDPS       X0, X9, X0
	VHADDPS      X0, X0, X0
	VHADDPS      X0, X0, X0
	VMOVSS       X0, lost+96(FP)
	VZEROUPPER
	RET
