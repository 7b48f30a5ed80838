// DOT read by Graphviz, GraphML by its converter: every box and line arrives there.
import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { describe, it } from 'node:test';
import { draw, drawings } from './plans.mjs';

// What Graphviz counts in a graph: "node" and "edge" lines of its plain output.
function counted(dot) {
  const plain = execFileSync('dot', ['-Tplain'], { input: dot, encoding: 'utf8', maxBuffer: 1 << 26 });
  return ['node', 'edge'].map(word => plain.split('\n').filter(line => line.startsWith(`${word} `)).length);
}

for (const drawing of drawings) {
  describe(drawing.name, () => {
    const svg = readFileSync(draw(drawing, 'svg'), 'utf8');
    const drawn = [svg.match(/class="box /g).length, (svg.match(/<g class="line /g) ?? []).length];

    it('is read by Graphviz as DOT', () => assert.deepEqual(counted(readFileSync(draw(drawing, 'dot'))), drawn));

    it('is read by Graphviz as GraphML', () =>
      assert.deepEqual(counted(execFileSync('graphml2gv', [draw(drawing, 'graphml')], { maxBuffer: 1 << 26 })), drawn));
  });
}
