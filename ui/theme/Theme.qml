pragma Singleton
pragma ComponentBehavior: Bound

import QtQuick

// Every token of the visual language. Hue belongs to notices: now, soon and note have it, nothing else.
QtObject {
    id: theme

    property bool bright: false
    property bool reducedMotion: false
    property string family: "Inter"

    // The hand that holds the tablet: pads stand on its side.
    property bool rightHand: false

    readonly property color ground: theme.bright ? "#FFFFFF" : "#0E1216"
    readonly property color panel: theme.bright ? "#F0F3F5" : "#1A2128"
    readonly property color raised: theme.bright ? "#DFE5EA" : "#2A343E"
    readonly property color line: theme.bright ? "#5D6A76" : "#7C8A97"
    readonly property color hair: theme.bright ? "#C3CCD4" : "#36424E"
    readonly property color ink: theme.bright ? "#0B0F12" : "#F5F8FA"
    readonly property color dim: theme.bright ? "#36424D" : "#B7C3CD"
    readonly property color off: theme.bright ? "#5D6A76" : "#8895A1"
    readonly property color now: theme.bright ? "#B00020" : "#FF7287"
    readonly property color nowInk: theme.bright ? "#FFFFFF" : "#17060A"
    readonly property color soon: theme.bright ? "#FFCF33" : "#FFD23F"
    readonly property color soonInk: theme.bright ? "#0B0F12" : "#171200"
    readonly property color note: theme.bright ? "#004C8C" : "#7FD0FF"
    readonly property color noteInk: theme.bright ? "#FFFFFF" : "#04131C"
    readonly property color clear: "transparent"

    // The word on the rail names the other theme and goes to it.
    readonly property string otherWord: theme.bright ? "dark" : "bright"

    // Space steps, from closest to widest.
    readonly property int s1: 4
    readonly property int s2: 8
    readonly property int s3: 12
    readonly property int s4: 16
    readonly property int s5: 24
    readonly property int s6: 32

    // Lines: divider, outline, frame that means something, net.
    readonly property int hairline: 1
    readonly property int outline: 2
    readonly property int frame: 4
    readonly property int heavy: 6
    readonly property int pulseFrame: 12
    readonly property int ring: 3

    readonly property int padRadius: 10
    readonly property int plateRadius: 2
    readonly property int noteRadius: 18
    readonly property int noteEdge: 12

    readonly property int bandWidth: 16
    readonly property int stripe: 5
    readonly property int stripePitch: 14
    readonly property int shirt: 20

    // Milliseconds. Reduced motion sets the first three to nothing; arming, holding, telling (how long the wrist keeps
    // what can be told open) are safety, not motion.
    readonly property int press: theme.reducedMotion ? 0 : 60
    readonly property int change: theme.reducedMotion ? 0 : 120
    readonly property int sheet: theme.reducedMotion ? 0 : 200
    property int arming: 400
    property int holding: 600
    property int telling: 5000

    readonly property TableSizes table: TableSizes {}
    readonly property NetSizes net: NetSizes {}
    readonly property PhoneSizes phone: PhoneSizes {}
    readonly property WristSizes wrist: WristSizes {}
    readonly property BoardSizes board: BoardSizes {}
    readonly property SetupSizes setup: SetupSizes {}

    function fill(level: string): color {
        return level === "now" ? theme.now : level === "soon" ? theme.soon : level === "note" ? theme.note : theme.panel;
    }

    function fillInk(level: string): color {
        return level === "now" ? theme.nowInk : level === "soon" ? theme.soonInk : level === "note" ? theme.noteInk : theme.ink;
    }
}
