import { describe, expect, it } from 'vitest';
import { faults_of, mesh_from, NoAnswer, Refused } from './api';

/** One triangle as docs/api.md lays it out. */
function one_triangle(): ArrayBuffer {
  const bytes = new ArrayBuffer(12 + 24 * 3 + 12);
  new Uint8Array(bytes).set([0x57, 0x4c, 0x4d, 0x31]); // WLM1
  const view = new DataView(bytes);
  view.setUint32(4, 3, true);
  view.setUint32(8, 1, true);
  [0, 0, 0, 1, 0, 0, 0, 1, 0].forEach((v, i) => view.setFloat32(12 + 4 * i, v, true));
  [0, 0, 1, 0, 0, 1, 0, 0, 1].forEach((v, i) => view.setFloat32(48 + 4 * i, v, true));
  [0, 1, 2].forEach((v, i) => view.setUint32(84 + 4 * i, v, true));
  return bytes;
}

describe('the mesh', () => {
  it('is read as laid out', () => {
    const mesh = mesh_from(one_triangle());
    expect([...mesh.positions]).toEqual([0, 0, 0, 1, 0, 0, 0, 1, 0]);
    expect([...mesh.normals.slice(6)]).toEqual([0, 0, 1]);
    expect([...mesh.triangles]).toEqual([0, 1, 2]);
  });
  it('is refused when cut short or something else', () => {
    expect(() => mesh_from(one_triangle().slice(0, 60))).toThrow('cut short');
    expect(() => mesh_from(new ArrayBuffer(4))).toThrow();
    expect(() => mesh_from(new ArrayBuffer(96))).toThrow('read the mesh');
  });
});

describe('faults', () => {
  it('are always something a person can act on', () => {
    expect(faults_of(new NoAnswer())[0]!.fix).toContain('Start it again');
    expect(faults_of(new TypeError('x'))[0]!.what).toContain('x');
    const said = [{ what: 'w', where: { file: 'job.toml', line: 3, column: 1, key: 'k' }, expected: 'e', fix: 'm', text: 't' }];
    expect(faults_of(new Refused(said))).toEqual(said);
  });
});
