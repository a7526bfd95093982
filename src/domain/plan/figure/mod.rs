//! A body that shows an exercise: bones with joints, planted where it stands, moving with the tempo.
//!
//! Angles give the style, contacts give the truth, the tempo only names keys. The figure knows no
//! screen: what comes out is a list of shapes, each with the role it plays on paper.
//! Lengths are centimetres of a body of [`skeleton::HEIGHT`], angles in data are anatomical degrees.

pub mod geometry;

pub mod skeleton;

pub mod solver;

pub mod data;

pub mod props;

pub mod flesh;

pub mod motion;

pub mod film;

pub mod balance;

pub mod shape;

pub mod draw;

pub mod svg;
