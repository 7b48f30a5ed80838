// Our layout beside that of elkjs, on the same boxes, ports and lines with the same room between them: no more than 1.2 times its
// crossings and its area. LAYOUTS names the folder that `dotnet run --project tests/Benchmarks -- layouts FOLDER` wrote.
import assert from 'node:assert/strict';
import { readFileSync, readdirSync } from 'node:fs';
import { join } from 'node:path';
import { it } from 'node:test';
import ELK from 'elkjs';

const most = 1.2;
const elk = new ELK();

// Where lines of different nets cross, each place once for two nets.
function crossings(nets) {
  const pieces = nets.flatMap(({ net, paths }) => paths.flatMap(path => path.slice(1).map((to, i) => ({ net, from: path[i], to }))));
  const flat = pieces.filter(p => p.from[1] === p.to[1] && p.from[0] !== p.to[0]);
  const upright = pieces.filter(p => p.from[0] === p.to[0] && p.from[1] !== p.to[1]);
  const found = new Set();
  for (const one of flat)
    for (const other of upright) {
      const [x, y] = [other.from[0], one.from[1]];
      const [left, right] = [one.from[0], one.to[0]].sort((a, b) => a - b);
      const [top, bottom] = [other.from[1], other.to[1]].sort((a, b) => a - b);
      if (one.net !== other.net && x > left && x < right && y > top && y < bottom) found.add([one.net, other.net].sort().join(' ') + ` ${x} ${y}`);
    }
  return found.size;
}

async function theirs({ boxes, lines }) {
  const graph = {
    id: 'root',
    layoutOptions: {
      'elk.algorithm': 'layered', 'elk.direction': 'RIGHT', 'elk.edgeRouting': 'ORTHOGONAL', 'elk.randomSeed': '1', 'elk.padding': '[top=24,left=24,bottom=24,right=24]',
      'elk.spacing.nodeNode': '26', 'elk.spacing.edgeEdge': '12', 'elk.spacing.edgeNode': '16', 'elk.spacing.componentComponent': '48', 'elk.aspectRatio': '1.7',
      'elk.layered.spacing.nodeNodeBetweenLayers': '24', 'elk.layered.spacing.edgeEdgeBetweenLayers': '12', 'elk.layered.spacing.edgeNodeBetweenLayers': '12',
    },
    children: boxes.map(box => ({
      id: box.id, width: box.width, height: box.height,
      layoutOptions: { 'elk.portConstraints': box.free ? 'FIXED_SIDE' : 'FIXED_POS' },
      ports: box.ports.map(port => ({
        id: port.id, width: 0, height: 0, x: port.right ? box.width : 0, y: port.y,
        layoutOptions: { 'elk.port.side': port.right ? 'EAST' : 'WEST' },
      })),
    })),
    edges: lines.map(line => ({ id: line.id, sources: [line.from], targets: [line.to] })),
  };
  const laid = await elk.layout(graph);
  const rounded = point => [Math.round(point.x * 10), Math.round(point.y * 10)];
  const paths = laid.edges.map(edge => ({
    net: edge.sources[0],
    paths: edge.sections.map(section => [section.startPoint, ...(section.bendPoints ?? []), section.endPoint].map(rounded)),
  }));
  return { crossings: crossings(paths), area: laid.width * laid.height };
}

function ours({ width, height, lines }) {
  return { crossings: crossings(lines.map(line => ({ net: line.from, paths: [line.path] }))), area: width * height };
}

const folder = process.env.LAYOUTS;
const files = folder ? readdirSync(folder).filter(name => name.endsWith('.json')).sort() : [];

it('there is something to compare', () => assert.ok(files.length > 0, 'LAYOUTS names no folder with layouts in it'));

const all = { ours: 0, theirs: 0, ratio: 0 };
for (const file of files) {
  const plan = JSON.parse(readFileSync(join(folder, file), 'utf8'));
  const isSample = !file.startsWith('random');
  it(`${file}: crossings and area`, async test => {
    const [mine, other] = [ours(plan), await theirs(plan)];
    test.diagnostic(`crossings ${mine.crossings} to ${other.crossings}, area ${(mine.area / other.area).toFixed(2)}`);
    all.ours += mine.crossings;
    all.theirs += other.crossings;
    all.ratio += Math.log(mine.area / other.area);
    if (!isSample) return;
    assert.ok(mine.crossings <= most * other.crossings, `${mine.crossings} crossings where the other has ${other.crossings}`);
    assert.ok(mine.area <= most * other.area, `${(mine.area / other.area).toFixed(2)} times the area`);
  });
}

it('all together: crossings, and the mean of the areas', test => {
  const area = Math.exp(all.ratio / files.length);
  test.diagnostic(`crossings ${all.ours} to ${all.theirs}, area ${area.toFixed(2)}`);
  assert.ok(all.ours <= most * all.theirs, `${all.ours} crossings where the other has ${all.theirs}`);
  assert.ok(area <= most, `${area.toFixed(2)} times the area`);
});
