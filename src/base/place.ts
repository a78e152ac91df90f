/** A place on the earth, degrees north and east, WGS 84. */
export interface Place {
  latitude: number
  longitude: number
}
