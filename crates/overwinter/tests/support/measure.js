// Measures the page in every frame: how wide it is, how long its parts are, which texts are cut off.
addEventListener("load", () => {
  const seen = [...document.querySelectorAll("iframe")].map((frame) => {
    const page = frame.contentDocument;
    const root = page.documentElement;
    const box = (element) => element.getBoundingClientRect();
    const cut = [];
    for (const text of page.querySelectorAll("svg text")) {
      const [inner, outer] = [box(text), box(text.ownerSVGElement)];
      const slack = 1;
      if (inner.left < outer.left - slack || inner.right > outer.right + slack ||
          inner.top < outer.top - slack || inner.bottom > outer.bottom + slack) {
        cut.push("in a drawing: " + text.textContent);
      }
    }
    for (const element of page.body.querySelectorAll("*")) {
      const scrolls = frame.name === "narrow" && element.closest(".wide");
      if (!scrolls && box(element).right > root.clientWidth + 1) {
        cut.push(element.tagName + ": " + element.textContent.slice(0, 60));
      }
    }
    const [charts, annex] = ["charts", "annex"].map((id) => box(page.getElementById(id)).top);
    const end = box(page.body).bottom;
    return {
      name: frame.name,
      wide: root.clientWidth,
      scroll: root.scrollWidth,
      parts: [charts, annex - charts, end - annex],
      cut,
    };
  });
  const told = document.createElement("pre");
  told.textContent = "MEASURED" + JSON.stringify(seen) + "END";
  document.body.replaceChildren(told);
});
