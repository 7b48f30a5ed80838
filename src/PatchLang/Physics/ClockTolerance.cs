namespace PatchLang.Physics;

/// <summary>
/// Tolerances of clock rates, and capture ranges of followers, in parts per million to either side. This is the compiler's only table
/// of such figures; a figure that gear states for its <c>clock</c> takes precedence.
/// </summary>
public static class ClockTolerance
{
    /// <summary>A reference of grade 1, for several studios. AES11-2009, 5.2.1.1; read in a secondary source.</summary>
    public const double ReferenceGrade1 = 1;

    /// <summary>A reference of grade 2, for one studio. AES11-2009, 5.2.1.2; read in a secondary source.</summary>
    public const double ReferenceGrade2 = 10;

    /// <summary>The capture range of a follower of a grade 1 reference. AES11-2009, 5.2.2.1; read in a secondary source.</summary>
    public const double CaptureGrade1 = 2;

    /// <summary>The capture range of a follower of a grade 2 reference. AES11-2009, 5.2.2.2; read in a secondary source.</summary>
    public const double CaptureGrade2 = 50;

    /// <summary>Consumer equipment of high accuracy, level I. IEC 60958-3.</summary>
    public const double ConsumerLevel1 = 50;

    /// <summary>Consumer equipment of usual accuracy, level II. IEC 60958-3.</summary>
    public const double ConsumerLevel2 = 1000;

    /// <summary>The widest tolerance of any equipment: variable pitch, level III, 12.5 %. IEC 60958-3; the figure from memory.</summary>
    public const double Most = 125_000;

    /// <summary>The least that two ordinary clocks differ when both run free. Common practice, no source.</summary>
    public const double OrdinaryDifferenceLeast = 2;

    /// <summary>The most that two ordinary clocks differ when both run free. Common practice, no source.</summary>
    public const double OrdinaryDifferenceMost = 5;
}
