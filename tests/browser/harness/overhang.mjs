// Whether a page fits its window.

/** How far the page is wider than its window, px. In some browsers a bar to scroll by takes its part of the window. */
export const overhang = (page) => page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
