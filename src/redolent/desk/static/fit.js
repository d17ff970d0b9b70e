// A figure is drawn before it has a place on the page, and then keeps the size it was drawn at. This
// element has no content: when it gets a width, it tells the figures that listen for it to fit again.

function render({ el }) {
  const tell = () => window.dispatchEvent(new Event("resize"));
  const observer = new ResizeObserver(tell);
  observer.observe(el);
  const later = [200, 1000].map((wait) => setTimeout(tell, wait));
  return () => {
    observer.disconnect();
    later.forEach(clearTimeout);
  };
}

export default { render };
