use sawpierce::job::Shape;
use sawpierce::outline::rings;
use sawpierce::units::Mm;
#[test]
fn look() {
    let z = Mm(0.0);
    let m = Mm;
    let shapes: Vec<Shape> = vec![
        Shape::Teardrop { width: m(28.0), height: m(42.0), tip_radius: z },
        Shape::Teardrop { width: m(30.0), height: m(34.0), tip_radius: z },
        Shape::Teardrop { width: m(18.0), height: m(45.0), tip_radius: m(1.0) },
        Shape::Heart { width: m(40.0), height: m(38.0), tip_radius: z },
        Shape::Heart { width: m(34.0), height: m(42.0), tip_radius: z },
        Shape::Heart { width: m(44.0), height: m(34.0), tip_radius: m(1.0) },
        Shape::Marquise { width: m(20.0), height: m(44.0), tip_radius: z },
        Shape::Marquise { width: m(44.0), height: m(16.0), tip_radius: m(0.8) },
        Shape::Cushion {
            width: m(40.0),
            height: m(40.0),
            corner_radius: Shape::cushion_corner(m(40.0), m(40.0)),
        },
        Shape::Cushion {
            width: m(44.0),
            height: m(30.0),
            corner_radius: Shape::cushion_corner(m(44.0), m(30.0)),
        },
        Shape::Cushion { width: m(44.0), height: m(30.0), corner_radius: z },
        Shape::Crescent {
            width: m(30.0),
            height: m(40.0),
            thick: Shape::crescent_thick(m(30.0), m(40.0)),
            tip_radius: z,
        },
        Shape::Crescent {
            width: m(44.0),
            height: m(36.0),
            thick: Shape::crescent_thick(m(44.0), m(36.0)),
            tip_radius: z,
        },
        Shape::Crescent { width: m(44.0), height: m(16.0), thick: m(7.0), tip_radius: m(0.5) },
        Shape::Cone { top: m(10.0), bottom: m(20.0), height: m(15.0) },
        Shape::Cone { top: m(14.0), bottom: m(8.0), height: m(4.0) },
    ];
    let mut svg = String::from("<svg xmlns='http://www.w3.org/2000/svg' width='800' height='800' viewBox='0 0 200 200'><rect width='200' height='200' fill='white'/>");
    for (i, s) in shapes.iter().enumerate() {
        let ring = &rings(s).unwrap()[0];
        let b = ring.bounds();
        println!(
            "{s:?} {:.12} {:.12} corners {} area {}",
            b.width(),
            b.height(),
            ring.corners.len(),
            ring.area()
        );
        let (x, y) = (25.0 + 50.0 * (i % 4) as f64, 25.0 + 50.0 * (i / 4) as f64);
        svg += &format!("<g transform='translate({x} {y}) scale(1 -1)' fill='#ddd' stroke='black' stroke-width='0.2'><path d='{}'/>", ring.to_path().to_svg());
        for inner in ring.shrink(2.0) {
            svg += &format!("<path d='{}' fill='#fff'/>", inner.to_path().to_svg());
        }
        svg += "</g>";
    }
    svg += "</svg>";
    std::fs::write("/tmp/look.svg", svg).unwrap();
}
