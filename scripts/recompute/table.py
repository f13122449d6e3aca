#!/usr/bin/env python3
"""Writes the output of recompute.py for testdata/lighthouse.csv as the table that a test reads.

    python3 recompute.py ../../testdata/lighthouse.csv | python3 table.py > ../../testdata/recomputed/lighthouse.csv
"""
import json, sys

d, out = json.load(sys.stdin), sys.stdout
out.write("""# The fit of lighthouse.csv, computed outside the program by scripts/recompute: values and
# standard uncertainties in SI, ends of 95 % intervals, share of the variance from readings;
# of a reading, residual [Hz], standardised, leverage, Cook's distance.
name,core,part,hand,value,uncertainty,low,high,readings
""")
g = lambda v: '%.9g' % v
q = d['quality']
for k in ('chi_square','degrees_of_freedom','p_value','aicc'):
    out.write('%s,,,,%s,,,,\n' % (k, g(q[k])))
for e in d['estimates']:
    part = e['part'] + ' pF' if e['part'][:1].isdigit() else e['part']
    row = [e['name'],e['core'],part,g(e['hand']) if e['hand'] else '']
    row += [g(e['value']),g(e['u']),g(e['interval'][0]),g(e['interval'][1]),g(e['shares']['readings'])] if e['determined'] else ['undetermined','','','','']
    out.write(','.join(row) + '\n')
for r in d['readings']:
    out.write(','.join(['line %d' % r['line'], '', '', '', g(r['residual']),g(r['standardised']),g(r['leverage']),g(r['cook']), '']) + '\n')
