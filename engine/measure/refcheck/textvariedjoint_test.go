package refcheck

import (
	"fmt"
	"math"
)

// variedJoints are gasket, bolt and hose rows with other numbers and partly other wording.
func variedJoints() []variedRow {
	sq := func(x float64) float64 { return x * x }
	area := func(d, p float64) float64 { return math.Pi / 4 * sq(d-0.9382*p) }
	ring := func(outer, inner float64) float64 { return math.Pi / 4 * (sq(outer) - sq(inner)) }
	lambda := math.Pow(60*15/2.0/(4*72000*25*sq(10)*10/12), 0.25)
	// an endless beam under equal point loads: the lines of the single loads add up
	mid := func(u float64) float64 {
		line := func(x float64) float64 { return math.Exp(-x) * (math.Cos(x) + math.Sin(x)) }
		at, between := line(0), 0.0
		for n := range 60 {
			at += 2 * line(2*u*float64(n+1))
			between += 2 * line(u*float64(2*n+1))
		}
		return between / at
	}
	plate := 72000 * math.Pow(5, 3) / 12 / (1 - 0.09)
	rodA, tubeA := math.Pi/4*144, ring(30, 20)
	grow := (1.9e-5 - 1.2e-5) * 50 / (1/(200e3*rodA) + 1/(100e3*tubeA))
	e := "0.01 %"
	return []variedRow{
		{"tensile stress area, metric coarse", "d=5 mm; P=0.8 mm", figure(area(5, 0.8)), "mm^2", e},
		{"tensile stress area, metric fine", "M10x1.25", figure(area(10, 1.25)), "mm^2", e},
		{"tensile stress area, UNC", "D=0.625 in; n=11 tpi", figure(math.Pi / 4 * sq(0.625-0.9743/11)), "in^2", e},
		{"tensile stress area, UNF", "3/8-24 UNF", figure(math.Pi / 4 * sq(0.375-0.9743/24)), "in^2", e},
		{"proof load = proof stress x area", "M8 class 10.9; A=36.6 mm^2; Sp=830 MPa", figure(36.6 * 0.830), "kN", e},
		{"preload, permanent joint (0.90 proof)", "M10 class 8.8; A=58 mm^2; Sp=580 MPa", figure(0.9 * 58 * 0.58), "kN", e},
		{"clamp load 0.75 proof", "1/4-20 UNC SAE grade 5; A=0.0318 in^2; Sp=85 ksi", figure(0.75 * 0.0318 * 85000), "lbf", e},
		{"torque T=K F d", "F=18 kN; K=0.16; d=10 mm", figure(0.16 * 18 * 10), "N*m", e},
		{"torque T=K F d", "F=2000 lbf; d=0.25 in; K=0.2", figure(0.2 * 2000 * 0.25 / 12), "lbf*ft", e},
		{"preload from torque", "T=30 N*m; M10; K=0.2", "15", "kN", e},
		{"clamp load from torque", "T=60 lbf*ft; d=0.5 in; K=0.2", "7200", "lbf", e},
		{"proof load = proof stress x area", "M10 class 10.9", figure(0.830 * 58.0), "kN", "0.2 %"},
		{"torque T = K F d", "M12; F: 40 kN; K: 0.18 (oiled)", figure(0.18 * 40 * 12), "N*m", e},
		{"preload stress", "F=12 kip; A=0.182 in^2 (9/16-12 UNC)", figure(12 / 0.182), "ksi", e},
		{"joint constant C=kb/(kb+km)", "kb=4.2; km=10.1 (Mlbf/in)", figure(4.2 / 14.3), "-", e},
		{"bolt stress under service load", "C=0.25; P=4 kip; Fi=15 kip; A=0.226 in^2", figure((15 + 1) / 0.226), "ksi", e},
		{"external load per bolt", "gas pressure 60 bar on D=120 mm, 8 bolts", figure(6 * math.Pi / 4 * sq(120) / 8), "N", e},
		{"mean preload of five bolts at 40 N*m", "18.1 19.4 20.2 21.0 22.3 kN", figure(101.0 / 5), "kN", e},
		{"sample standard deviation of four preloads", "10, 12, 14, 16 kN", figure(math.Sqrt(20.0 / 3)), "kN", e},
		{"minimum preload from tightening factor", "Fmax=30 kN; alphaA=1.6", figure(30 / 1.6), "kN", e},
		{"alphaA to plus/minus scatter (a-1)/(a+1)", "alphaA=2.5", figure(150 / 3.5), "% (plus/minus)", e},
		{"preload band", "nominal 12 kN; oiled, Gamma=0.25", "9 to 15", "kN", e},
		{"share of proof load", "M8 8.8 oiled, T=20 N*m, K=0.16; A=36.6 mm^2; Sp=580 MPa", figure(20 / (0.16 * 0.008) / (36.6 * 580)), "-", e},
		{"stainless A4-80 torque for 65 % of Rp0.2", "M10; A=58 mm^2; Rp0.2=600 MPa; K=0.22", figure(0.65 * 58 * 600 * 0.010 * 0.22), "N*m", e},
		{"hydrostatic end force H", "G=150 mm; P=8 bar", figure(math.Pi / 4 * sq(150) * 0.8), "N", e},
		{"contact load Hp=2b pi G m P", "b=5; G=150 mm; m=2; P=0.8 MPa", figure(2 * 5 * math.Pi * 150 * 2 * 0.8), "N", e},
		{"seating load Wm2=pi b G y", "b=5; G=150 mm; y=11 MPa", figure(math.Pi * 5 * 150 * 11), "N", e},
		{"pump cover: H, Hp, Wm1", "G=180 mm; b=6 mm; m=1.5; P=0.4 MPa", fmt.Sprintf("%s; %s; %s", figure(math.Pi/4*sq(180)*0.4), figure(2*6*math.Pi*180*1.5*0.4), figure(math.Pi/4*sq(180)*0.4+2*6*math.Pi*180*1.5*0.4)), "N", e},
		{"effective width b=C sqrt(b0)", "b0=16 mm; C=2.5 (sheet)", "10", "mm", e},
		{"gasket reaction diameter G=OD-2b", "OD=420 mm; b=9 mm", "402", "mm", e},
		{"assembly gasket stress", "8 x M10; T=35 N*m; K=0.20; ring 160/130 mm", figure(8 * 17500 / ring(160, 130)), "MPa", e},
		{"torque for wanted gasket stress", "12 MPa on ring 160/130 mm; 8 x M10; K=0.20", figure(12 * ring(160, 130) / 8 * 0.010 * 0.2), "N*m", e},
		{"ASTM F36 compressibility and recovery", "P=2.00; M=1.70; R=1.85 mm", "15 and 50", "%", e},
		{"maximum bolt pitch 2d+6t/(m+0.5)", "d=10; t=12 mm; m=1.0", "68", "mm", e},
		{"pitch ratio pi Db/(N d)", "Db=140 mm; N=8; d=10 mm", figure(math.Pi * 140 / 80), "-", e},
		{"Winkler stiffness parameter lambda", "cover 25 x 10 mm; E=72000 MPa; gasket Eg=60 MPa, 15 mm wide, 2.0 mm thick", figure(lambda), "1/mm", e},
		{"mid-span / at-bolt pressure ratio", "u=lambda*pitch/2=1.20", figure(mid(1.2)), "-", e},
		{"centre deflection of circular cover, clamped edge", "a=60; t=5 mm; E=72000 MPa; nu=0.3; p=0.15 MPa", figure(0.15 * math.Pow(60, 4) / 64 / plate), "mm", e},
		{"centre-bolt cover: seating plus pressure load", "rim 120/100 mm; seating 2 MPa; p=0.2 MPa over 110 mm", fmt.Sprintf("%s + %s = %s", figure(2*ring(120, 100)), figure(0.2*math.Pi/4*sq(110)), figure(2*ring(120, 100)+0.2*math.Pi/4*sq(110))), "N", e},
		{"bolt stiffness EA/L", "M10; A=58 mm^2; L=60 mm; E=205000 MPa", figure(58 * 205 / 60.0), "kN/mm", e},
		{"tie-rod preload lost to 0.03 mm of creep (rigid clamped part)", "M8; A=36.6 mm^2; L=250 mm; E=205000 MPa", figure(36.6 * 205 / 250 * 0.03), "kN", e},
		{"extra thermal stress, dT=50 K", "12 mm steel bolt in 30/20 mm brass tube; alpha steel 1.2e-5, brass 1.9e-5; Es=200, Eb=100 GPa", fmt.Sprintf("%s (bolt); %s (tube)", figure(grow/rodA), figure(grow/tubeA)), "MPa", e},
		{"load share steel bolt / aluminium collar", "45 kN; As=400; Aa=800 mm^2; Es=210; Ea=70 GPa; equal length", fmt.Sprintf("%s and %s", figure(45*0.6), figure(45*0.4)), "kN", e},
		{"clamp change, aluminium housing / steel bolt", "M10 L=50 mm; alpha 23e-6 / 12e-6; dT=60 K; kb=200; kj=400 kN/mm", figure(11e-6 * 50 * 60 / (1/200.0 + 1/400.0)), "kN", e},
		{"long strip compression modulus (4/3)E0(1+k S^2)", "50 IRHD: E0=2.20 MPa, k=0.73; width 12; t=4 mm (S=1.5)", figure(4.0 / 3 * 2.2 * (1 + 0.73*2.25)), "MPa", e},
		{"disc compression modulus E0(1+2 k S^2)", "60 IRHD: E0=4.45 MPa, k=0.57; D=24; t=4 mm", figure(4.45 * (1 + 2*0.57*2.25)), "MPa", e},
		{"flatness class", "soft gasket; 0.30 mm around the face", "fail", "-", "exact"},
		{"defect class", "w=12 mm; rd=2 mm; depth 0.60 mm; hard-faced", "pass", "-", "exact"},
		{"defect class", "w=12 mm; rd=5 mm; depth 0.60 mm; soft-faced", "pass", "-", "exact"},
		{"blow-off force", "1.5 in pipe at 30 psi", figure(30 * math.Pi / 4 * 2.25), "lbf", e},
		{"blow-off force p pi D^2/4", "spigot 50 mm; 2 bar", figure(0.2 * math.Pi / 4 * 2500), "N", e},
		{"mean band pressure 2T/(w D)", "band tension 800 N; w=9 mm; D=30 mm", figure(1600.0 / 270), "MPa", e},
		{"grip force mu p pi D w vs blow-off", "p=4 MPa; D=32 mm; w=9 mm; mu=0.25", figure(0.25 * 4 * math.Pi * 32 * 9), "N", e},
		{"hose stretch (OD-ID)/ID", "hose ID 25; spigot 26 mm", "4", "%", e},
		{"thermal shrink of hose wall on cooling", "wall 4 mm; alpha 1.5e-4 1/K; dT=70 K", figure(4 * 1.5e-4 * 70), "mm", e},
		{"torque conversion", "55 lbf*in", figure(55 * 4.4482216152605 * 0.0254), "N*m", e},
		{"hand-tight turns NPT = L1 * tpi", "3/4-14: L1=0.339 in", figure(0.339 * 14), "turns", e},
		{"gauge length in turns BSPT", "R 3/4: 9.5 mm / 1.814 mm", figure(9.5 / 1.814), "turns", e},
		{"diameter growth per turn on 1:16 taper", "P=2.309 mm", figure(2.309 / 16), "mm", e},
		{"drops to volume", "5 drops/min; 20 drops/mL", "15", "mL/h", e},
		{"drops to volume", "1 drop/s; 0.05 mL/drop", "180", "mL/h", e},
		{"seal leakage 3.2 g/h as volume", "density 0.87 g/cm^3", figure(3.2 / 0.87), "cm^3/h", e},
		{"lip speed", "shaft 25 mm; 1450 rpm", figure(math.Pi * 0.025 * 1450 / 60), "m/s", e},
		{"required bolt area", "Wm1=40 kN; Wm2=30 kN; Sb=160; Sa=200 MPa", "250", "mm^2", e},
		{"bolt pitch on the bolt circle", "Db=140 mm; 8 bolts", figure(math.Pi * 140 / 8), "mm", e},
		{"number of bolts needed", "load 50 kN; per bolt 9 kN", "6", "count", "exact"},
		{"flats to angle", "2 1/2 flats", "150", "degrees", "exact"},
	}
}
