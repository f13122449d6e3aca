// Package coilsheet reads what is known of a coil before the first reading: a
// CSV table with the columns quantity, value, ±, unit.
//
//	quantity,value,±,unit
//	turns,640,,
//	winding diameter,28.0,0.1,mm
//	wire diameter,28,,AWG
//	inductance by meter,1.93,2 %,mH
//	part lantern roof,2.1,5 %,pF
//
// It believes that whoever measures states how well. A ± is a standard
// uncertainty, in the unit of the value or in %; only that of a part is a
// tolerance, a bound that 95 % of such parts keep, whose standard uncertainty
// is the tolerance divided by 1.96. Where a dimension has no ±, the digits
// written tell (JCGM 100:2008, 4.3.7); a count is exact; a wire by gauge has
// the 1 % that its makers keep, a permeability the 20 % of ferrite grades
// (common practice for both). It refuses a meter reading or a part without a
// ±: how well those are known decides what they are worth.
//
// Like a log, a sheet with one fault gives no values but the list of all
// faults.
package coilsheet
