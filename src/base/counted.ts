/** "1 row" or "3 rows": how many of something, in words. */
export const counted = (count: number, one: string, many = `${one}s`): string => `${count} ${count === 1 ? one : many}`
