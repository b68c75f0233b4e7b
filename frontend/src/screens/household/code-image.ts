/** The address of a picture made of an svg element. Standing alone, an element must name its language. */
export function pictureOf(svg: string): string {
  const whole = /<svg[^>]*\sxmlns=/.test(svg)
    ? svg
    : svg.replace('<svg', '<svg xmlns="http://www.w3.org/2000/svg"');
  return `data:image/svg+xml;charset=utf-8,${encodeURIComponent(whole)}`;
}
