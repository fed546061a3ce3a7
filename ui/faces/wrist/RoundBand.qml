pragma ComponentBehavior: Bound

import QtQuick
import QtQuick.Shapes
import Crewlink.Ui

// A team's texture along the rim of a round face, from `from` to `to` px below its top: A solid, B hatched.
Item {
    id: band

    required property string letter
    required property bool atLeft
    required property real radius
    property real from: 90
    property real to: 300

    readonly property real inner: band.radius - Theme.wrist.bandWidth
    readonly property real start: Math.asin((band.from - band.radius) / band.radius)
    readonly property real end: Math.asin((band.to - band.radius) / band.radius)

    function place(angle: real, reach: real): string {
        const along = Math.cos(angle) * reach;
        return (band.radius + (band.atLeft ? -along : along)).toFixed(2) + " " + (band.radius + Math.sin(angle) * reach).toFixed(2);
    }

    function solid(): string {
        const steps = 60;
        let path = "";
        for (let step = 0; step <= steps; step++)
            path += (path === "" ? "M" : " L") + band.place(band.start + (band.end - band.start) * step / steps, band.radius - Theme.wrist.bandWidth / 2);
        return path;
    }

    // 45 degrees: a stripe moves along the rim by as much as it crosses the band.
    function stripes(): string {
        const pitch = Theme.stripePitch * Math.SQRT2 / band.radius;
        const lean = Theme.wrist.bandWidth / band.radius * (band.atLeft ? 1 : -1);
        let path = "";
        for (let angle = band.start + Math.abs(lean); angle < band.end - Math.abs(lean); angle += pitch)
            path += "M" + band.place(angle + lean / 2, band.radius) + " L" + band.place(angle - lean / 2, band.inner) + " ";
        return path;
    }

    Accessible.ignored: true

    Shape {
        anchors.fill: parent

        ShapePath {
            strokeColor: Theme.ink
            strokeWidth: band.letter === "A" ? Theme.wrist.bandWidth : Theme.stripe
            fillColor: Theme.clear
            capStyle: ShapePath.FlatCap

            PathSvg {
                path: band.letter === "A" ? band.solid() : band.stripes()
            }
        }
    }
}
