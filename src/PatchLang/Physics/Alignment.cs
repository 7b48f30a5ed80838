namespace PatchLang.Physics;

/// <summary>
/// Where analogue levels meet digital ones: a converter is aligned by the analogue level at which it is full. 0 dBFS is a sine
/// that just fills it (AES17, from memory), so a level in dBu less the converter's full scale is the level in dBFS.
/// </summary>
public static class Alignment
{
    /// <summary>0 dBFS at +18 dBu: the alignment of EBU R68, with its −18 dBFS at 0 dBu (text read in a secondary source).</summary>
    public const double EbuFullScale = 18;

    /// <summary>0 dBFS at +24 dBu: the alignment of SMPTE RP 155, with its −20 dBFS at +4 dBu (read in a secondary source).</summary>
    public const double SmpteFullScale = 24;

    /// <summary>The level behind a converter to digital.</summary>
    /// <param name="dbu">What arrives, in dBu.</param>
    /// <param name="fullScale">The analogue level of digital full scale without gain, in dBu.</param>
    /// <param name="gain">The gain ahead of the converter in dB; pads count as gain below zero.</param>
    /// <returns>In dBFS; above 0 it clips.</returns>
    public static double ToDigital(double dbu, double fullScale, double gain = 0) => dbu + gain - fullScale;

    /// <summary>The level behind a converter to analogue.</summary>
    /// <param name="dbfs">What arrives, in dBFS.</param>
    /// <param name="fullScale">The analogue level of digital full scale, in dBu.</param>
    /// <param name="gain">The gain behind the converter in dB.</param>
    /// <returns>In dBu.</returns>
    public static double ToAnalogue(double dbfs, double fullScale, double gain = 0) => dbfs + fullScale + gain;

    /// <summary>
    /// How far the full scale of an output and of the input behind it are apart: at +6 a +24 dBu output drives a +18 dBu
    /// input 6 dB past full, so its last 6 dB can't be used; at −6 the input's last 6 dB are never reached.
    /// </summary>
    /// <param name="output">The output's full scale in dBu.</param>
    /// <param name="input">The input's full scale in dBu.</param>
    /// <param name="gain">The gain between them in dB, pads below zero.</param>
    /// <returns>In dB.</returns>
    public static double Difference(double output, double input, double gain = 0) => output + gain - input;
}
