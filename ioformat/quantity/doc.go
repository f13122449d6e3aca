// Package quantity reads and writes numbers with units.
//
// It believes that a number without a unit is not a quantity, and that the
// digits a maker wrote down say how well the maker read: a parsed Quantity
// keeps its text and the worth of its last digit, from which
// [Quantity.DigitUncertainty] follows. Values are SI; units live only here.
//
// It has its own grammar of numbers, narrower than Go's: a sign, decimal
// digits with at most one decimal mark, a decimal exponent. Grouped digits,
// hexadecimal, NaN, infinities, what instruments write when they have no
// reading (9.9E+37), and numbers too large or too small for a double are
// refused with a word on what to do. A unit whose case leaves open what is
// meant (mhz: millihertz or megahertz?) is refused, never guessed.
//
// It writes a value with its standard uncertainty as the Guide to the
// Expression of Uncertainty in Measurement asks (JCGM 100:2008, 7.2.6): the
// uncertainty to two significant digits, the value rounded to match. It
// refuses to write a value whose uncertainty is not a finite number of at
// least zero: that value is [Undetermined].
package quantity
