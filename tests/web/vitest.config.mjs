// One browser and one program at a time: the machine's graphics are done in software.
export default {
  test: {
    include: ['*.test.ts'],
    globals: true,
    fileParallelism: false,
    testTimeout: 600_000,
    hookTimeout: 1_200_000,
  },
};
