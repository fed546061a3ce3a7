pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Shapes
import Crewlink.Ui

// The part of a round face that lies in this item: the face's circle, cut by the item's edges. `fromX` and `fromY` say
// where the item begins on the face; the edge is drawn inside.
Item {
    id: slice

    required property real radius
    property real fromX: slice.x
    property real fromY: slice.y
    property color fill: Theme.clear
    property color edge: Theme.clear
    property real edgeWidth: 0

    readonly property real half: slice.edgeWidth / 2

    function outline(): string {
        const inner = slice.radius - slice.half;
        const span = y => {
            const far = slice.fromY + y - slice.radius;
            return Math.sqrt(Math.max(0, inner * inner - far * far));
        };
        const rightOf = y => Math.min(slice.width - slice.half, slice.radius + span(y) - slice.fromX);
        const leftOf = y => Math.max(slice.half, slice.radius - span(y) - slice.fromX);
        const first = Math.max(slice.half, slice.half - slice.fromY);
        const last = Math.min(slice.height - slice.half, 2 * slice.radius - slice.half - slice.fromY);
        const steps = Math.max(2, Math.ceil((last - first) / 2));
        let down = "";
        let up = "";
        for (let step = 0; step <= steps; step++) {
            const y = first + (last - first) * step / steps;
            if (leftOf(y) > rightOf(y))
                continue;
            down += (down === "" ? "M" : " L") + rightOf(y).toFixed(2) + " " + y.toFixed(2);
            up = " L" + leftOf(y).toFixed(2) + " " + y.toFixed(2) + up;
        }
        return down + up + " Z";
    }

    Accessible.ignored: true

    Shape {
        anchors.fill: parent

        ShapePath {
            strokeColor: slice.edgeWidth > 0 ? slice.edge : Theme.clear
            strokeWidth: slice.edgeWidth
            fillColor: slice.fill
            joinStyle: ShapePath.RoundJoin

            PathSvg {
                path: slice.outline()
            }
        }
    }
}
