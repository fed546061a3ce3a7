pragma ComponentBehavior: Bound

import QtQuick

// What every face must settle: type sizes in px (small to figure) and the least touch target.
// A face keeps its own further sizes in its own file (WristSizes.qml, TableSizes.qml, ...).
QtObject {
    id: sizes

    required property int floor
    required property int small
    required property int body
    required property int strong
    required property int title
    required property int figure
    required property int number
    required property int margin
    required property int gap
    required property int target
    required property int rail
    property int mark: sizes.strong
}
