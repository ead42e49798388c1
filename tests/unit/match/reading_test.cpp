// Readings of instruments' files, and the mistakes people make with them.
#include <fmt/format.h>
#include <gtest/gtest.h>

#include <cmath>

#include "match/reading.h"

using namespace witnessline::match;

namespace {

// A smooth reflectance, any wavelength.
double curve(double nm) { return 0.35 + 0.25 * std::tanh((nm - 560) / 45) + 0.04 * std::sin(nm / 40); }

std::string band_names(double from_nm, double to_nm, double step_nm, const std::string& prefix,
                       const std::string& between) {
  std::string text;
  for (double nm = from_nm; nm <= to_nm + 0.1; nm += step_nm)
    text += fmt::format("{}{}{:g}", text.empty() ? "" : between, prefix, nm);
  return text;
}
std::string band_values(double from_nm, double to_nm, double step_nm, const std::string& between, double scale = 1,
                        double more = 0) {
  std::string text;
  for (double nm = from_nm; nm <= to_nm + 0.1; nm += step_nm)
    text += fmt::format("{}{:.5f}", text.empty() ? "" : between, scale * (curve(nm) + more));
  return text;
}

double furthest(const Reflectance& r, double from_nm = 380, double to_nm = 730) {
  double most = 0;
  for (int b = 0; b < bands; ++b)
    if (band_nm(b) >= from_nm && band_nm(b) <= to_nm) most = std::max(most, std::abs(r[b] - curve(band_nm(b))));
  return most;
}

void expect_fault(const Result<std::vector<Reading>>& read, const std::string& saying, int line) {
  ASSERT_FALSE(read) << saying;
  std::string all;
  for (const Error& e : read.errors()) all += e.text() + "\n";
  EXPECT_NE(all.find(saying), std::string::npos) << all;
  EXPECT_EQ(read.errors()[0].where.line, line) << all;
  EXPECT_FALSE(read.errors()[0].where.file.empty());
}
bool says(const std::vector<Note>& notes, const std::string& part) {
  for (const Note& n : notes)
    if (n.text.find(part) != std::string::npos) return true;
  return false;
}

std::string csv(double from_nm, double to_nm, double step_nm, double scale = 1) {
  return "# invented\nname,mode,specular," + band_names(from_nm, to_nm, step_nm, "R", ",") + "\n" +
         "card,M0,included," + band_values(from_nm, to_nm, step_nm, ",", scale) + "\n";
}

TEST(CsvReadings, ComeToTheGridFromAnyStep) {
  for (const double step_nm : {1.0, 5.0, 10.0, 20.0}) {
    const auto read = read_readings(csv(360, 780, step_nm), "card.csv");
    ASSERT_TRUE(read) << read.errors()[0].text();
    EXPECT_LT(furthest((*read)[0].reflectance), step_nm == 20 ? 0.003 : step_nm == 10 ? 1e-5 : 0.002) << step_nm;
    EXPECT_EQ((*read)[0].mode, MeasurementMode::M0);
    EXPECT_EQ((*read)[0].specular, Specular::included);
    EXPECT_EQ(says((*read)[0].notes, "interpolated"), step_nm == 20);
  }
  const auto short_one = read_readings(csv(400, 700, 10), "card.csv");
  ASSERT_TRUE(short_one);
  const Reflectance& r = (*short_one)[0].reflectance;
  EXPECT_EQ(r[0], r[2]);
  EXPECT_EQ(r[bands - 1], r[32]);
  EXPECT_LT(furthest(r, 400, 700), 1e-5);
  EXPECT_TRUE(says((*short_one)[0].notes, "end values are extended"));
}

TEST(CsvReadings, ScaleIsOfTheWholeFile) {
  const auto per_cent = read_readings(csv(400, 700, 10, 100), "card.csv");
  ASSERT_TRUE(per_cent);
  EXPECT_LT(furthest((*per_cent)[0].reflectance, 400, 700), 1e-5);
  EXPECT_TRUE(says((*per_cent)[0].notes, "per cent"));
  // A black reads 1.5 per cent throughout: only the other reading of the file tells.
  const std::string head = "name," + band_names(400, 700, 10, "R", ",") + "\n";
  std::string black = "black";
  for (int i = 0; i < 31; ++i) black += ",1.5";
  const auto both = read_readings(head + black + "\nwhite," + band_values(400, 700, 10, ",", 150) + "\n", "two.csv");
  ASSERT_TRUE(both) << both.errors()[0].text();
  EXPECT_NEAR((*both)[0].reflectance[10], 0.015, 1e-12);
  expect_fault(read_readings(head + black + "\n", "black.csv"), "too high for a fraction", 2);
}

TEST(CsvReadings, SemicolonsAndDecimalCommas) {
  std::string text = csv(400, 700, 10);
  for (char& c : text)
    if (c == ',')
      c = ';';
    else if (c == '.')
      c = ',';
  const auto read = read_readings(text, "card.csv");
  ASSERT_TRUE(read) << read.errors()[0].text();
  EXPECT_LT(furthest((*read)[0].reflectance, 400, 700), 1e-5);
}

TEST(CsvReadings, BandsOutOfOrderAreMendedAndOthersRefused) {
  const auto mended = read_readings("name," + band_names(410, 700, 10, "R", ",") + ",R400\ncard," +
                                        band_values(410, 700, 10, ",") + "," + fmt::format("{:.5f}", curve(400)) + "\n",
                                    "card.csv");
  ASSERT_TRUE(mended) << mended.errors()[0].text();
  EXPECT_LT(furthest((*mended)[0].reflectance, 400, 700), 1e-5);
  EXPECT_TRUE(says((*mended)[0].notes, "out of order"));
  expect_fault(read_readings("name,R400," + band_names(400, 700, 10, "R", ",") + "\ncard,0.1," +
                                 band_values(400, 700, 10, ",") + "\n",
                             "a.csv"),
               "band 400 nm is there twice", 2);
  expect_fault(
      read_readings("name," + band_names(400, 540, 10, "R", ",") + "," + band_names(560, 700, 10, "R", ",") +
                        "\ncard," + band_values(400, 540, 10, ",") + "," + band_values(560, 700, 10, ",") + "\n",
                    "a.csv"),
      "no band between 540 and 560 nm", 2);
  expect_fault(read_readings(csv(420, 700, 10), "a.csv"), "bands from 420 to 700", 3);
  expect_fault(read_readings("name,R400,R410\ncard,0.1,nan\n", "a.csv"), "'nan' is not a number", 2);
  expect_fault(read_readings("name,R400,R410\ncard,0.1,\n", "a.csv"), "bands are empty", 2);
  expect_fault(read_readings("name,R400,R410\ncard,0.1\n", "a.csv"), "2 cells", 2);
  expect_fault(read_readings("name,gloss,R400\ncard,2,0.1\n", "a.csv"), "column 'gloss'", 1);
  expect_fault(read_readings("sample,R400\n", "a.csv"), "'name'", 1);
  EXPECT_FALSE(read_readings("", "a.csv"));
  EXPECT_FALSE(read_readings(std::string("PK\0\3", 4), "a.csv"));
}

TEST(LabReadings, AreRecoveredAndNeedTheirLamp) {
  const auto read = read_readings("name,L,a,b,lamp,observer\nred,41.2,38.5,22.1,D50,2 deg\n", "lab.csv");
  ASSERT_TRUE(read) << read.errors()[0].text();
  const Reading& r = (*read)[0];
  EXPECT_TRUE(r.recovered);
  EXPECT_LT(delta_e_2000(to_lab(r.reflectance, Lamp::D50, Observer::deg2), {41.2, 38.5, 22.1}), 1e-6);
  EXPECT_TRUE(says(r.notes, "smoothest"));
  expect_fault(read_readings("name,L,a,b\nred,41.2,38.5,22.1\n", "lab.csv"), "without its lamp", 2);
  expect_fault(read_readings("name,L,a,b,lamp,observer\nred,41.2,38.5,22.1,F11,2 deg\n", "lab.csv"),
               "'F11' is not known", 2);
  expect_fault(read_readings("name,L,a,b,lamp,observer\nred,41.2,380.5,22.1,D50,2 deg\n", "lab.csv"),
               "no smooth reflectance", 2);
}

Reading of(const std::string& name, double more, Specular specular = Specular::included,
           MeasurementMode mode = MeasurementMode::M1) {
  Reading r;
  r.name = name, r.specular = specular, r.mode = mode, r.reflectance = flat_reflectance(0.4 + more);
  return r;
}

TEST(Averaging, KeepsScatterAndRespectsHowItWasRead) {
  const auto mean = averaged({of("a", -0.01), of("a", 0), of("a", 0.01)});
  ASSERT_TRUE(mean);
  EXPECT_NEAR(mean->reflectance[5], 0.4, 1e-12);
  EXPECT_NEAR(mean->scatter[5], 0.01, 1e-12);
  EXPECT_EQ(mean->repeats, 3);
  EXPECT_TRUE(mean->notes.empty());
  EXPECT_FALSE(averaged({}));
  const auto mixed = averaged({of("a", 0), of("a", 0.04, Specular::excluded)});
  ASSERT_FALSE(mixed);
  EXPECT_NE(mixed.errors()[0].what.find("specular"), std::string::npos);
  EXPECT_FALSE(averaged({of("a", 0), of("a", 0, Specular::included, MeasurementMode::M3)}));
  const auto unstated = averaged({of("a", 0), of("a", 0, Specular::not_stated)});
  ASSERT_TRUE(unstated);
  EXPECT_TRUE(says(unstated->notes, "do not state whether specular"));
  const auto stray = averaged({of("a", 0), of("a", 0.001), of("a", 0.2)});
  ASSERT_TRUE(stray);
  EXPECT_TRUE(says(stray->notes, "Delta E 2000 from the mean of the others"));
  const auto groups = averaged_by_name({of("a", 0), of("b", 0), of("a", 0.02)});
  ASSERT_TRUE(groups);
  ASSERT_EQ(groups->size(), 2u);
  EXPECT_EQ((*groups)[0].repeats, 2);
}

std::string cgats(const std::string& format, const std::string& data, const std::string& words = "") {
  return "CGATS.17\nORIGINATOR \"invented\"\nMEASUREMENT_GEOMETRY \"45/0\"\n" + words + "BEGIN_DATA_FORMAT\n" + format +
         "\nEND_DATA_FORMAT\nBEGIN_DATA\n" + data + "END_DATA\n";
}

TEST(Cgats, NamedBandsPairsAndLab) {
  for (const char* prefix : {"SPECTRAL_NM", "SPECTRAL_", "nm", "NM_"}) {
    const auto read =
        read_readings(cgats("SAMPLE_ID SAMPLE_NAME " + band_names(380, 730, 10, prefix, " "),
                            "1 \"red card\" " + band_values(380, 730, 10, " ") + "\n", "NUMBER_OF_SETS 1\n"),
                      "a.txt");
    ASSERT_TRUE(read) << prefix << read.errors()[0].text();
    EXPECT_EQ((*read)[0].name, "red card");
    EXPECT_LT(furthest((*read)[0].reflectance), 1e-5);
    EXPECT_EQ((*read)[0].geometry, "45:0");
    EXPECT_EQ((*read)[0].specular, Specular::excluded);
    EXPECT_EQ((*read)[0].where.line, 9);
  }
  std::string format = "SAMPLE_ID", data = "A1";
  for (int nm = 400; nm <= 700; nm += 10)
    format += " SPECTRAL_NM SPECTRAL_PCT", data += fmt::format("\t{}\t{:.4f}", nm, 100 * curve(nm));
  const auto pairs = read_readings(cgats(format, data + "\n"), "a.txt");
  ASSERT_TRUE(pairs) << pairs.errors()[0].text();
  EXPECT_LT(furthest((*pairs)[0].reflectance, 400, 700), 1e-5);
  EXPECT_FALSE(says((*pairs)[0].notes, "per cent"));  // it was declared
  const auto lab =
      read_readings(cgats("SAMPLE_NAME LAB_L LAB_A LAB_B", "red\t41.2\t38.5\t22.1\nlight red\t61\t20\t10\n",
                          "WEIGHTING_FUNCTION \"ILLUMINANT, D50\"\nWEIGHTING_FUNCTION \"OBSERVER, 2 degree\"\n"),
                    "a.txt");
  ASSERT_TRUE(lab) << lab.errors()[0].text();
  EXPECT_EQ((*lab)[1].name, "light red");  // tabs part the values, spaces belong to the name
  EXPECT_TRUE((*lab)[0].recovered);
  EXPECT_EQ((*lab)[0].lab->lamp, Lamp::D50);
}

TEST(Cgats, SaysWhatIsWrong) {
  const std::string format = "SAMPLE_ID LAB_L LAB_A LAB_B";
  const std::string weights = "WEIGHTING_FUNCTION \"ILLUMINANT, D50\"\nWEIGHTING_FUNCTION \"OBSERVER, 2 degree\"\n";
  expect_fault(read_readings(cgats(format, "1 50 0 0\n", weights + "NUMBER_OF_SETS 2\n"), "a.txt"),
               "2, as NUMBER_OF_SETS states", 12);
  expect_fault(read_readings(cgats(format, "1 50 0 0\n", weights + "NUMBER_OF_FIELDS 5\n"), "a.txt"),
               "NUMBER_OF_FIELDS", 9);
  expect_fault(read_readings(cgats(format, "1 50 0\n", weights), "a.txt"), "3 values", 10);
  expect_fault(read_readings(cgats(format, "1 50 zero 0\n", weights), "a.txt"), "'zero' is not a number", 10);
  expect_fault(read_readings(cgats(format, "1 50 0 0\n"), "a.txt"), "without its lamp", 8);
  expect_fault(read_readings(cgats(format, "1 50 0 0\n", "WEIGHTING_FUNCTION \"ILLUMINANT, F11\"\n"), "a.txt"),
               "does not know", 9);
  const std::string whole = cgats(format, "1 50 0 0\n", weights);
  expect_fault(read_readings(whole.substr(0, whole.find("END_DATA\n", whole.find("BEGIN_DATA\n"))), "a.txt"),
               "data have no end", 10);
  expect_fault(read_readings("CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID", "a.txt"), "no end", 3);
  expect_fault(read_readings("CGATS.17\n", "a.txt"), "no data", 1);
  EXPECT_FALSE(read_readings(cgats("SAMPLE_ID SPECTRAL_PCT SPECTRAL_NM", "1 2 400\n"), "a.txt"));
  // Declared per cent, but fractions: refused, for a hundredth of the reflectance would go unseen.
  std::string fractions = "SAMPLE_ID", data = "A1";
  for (int nm = 400; nm <= 700; nm += 10)
    fractions += " SPECTRAL_NM SPECTRAL_PCT", data += fmt::format(" {} {:.4f}", nm, curve(nm));
  expect_fault(read_readings(cgats(fractions, data + "\n"), "a.txt"), "states per cent", 8);
}

std::string cxf(const std::string& values, const std::string& spectrum_attributes = "",
                const std::string& measurement = "") {
  return "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<cc:CxF xmlns:cc=\"http://colorexchangeformat.com/CxF3-core\">\n"
         "<cc:Resources><cc:ObjectCollection>\n<cc:Object ObjectType=\"Standard\" Name=\"red\" "
         "Id=\"1\"><cc:ColorValues>\n" +
         (spectrum_attributes.empty()
              ? values
              : "<cc:ReflectanceSpectrum " + spectrum_attributes + ">" + values + "</cc:ReflectanceSpectrum>") +
         "\n</cc:ColorValues></cc:Object>\n</cc:ObjectCollection><cc:ColorSpecificationCollection>"
         "<cc:ColorSpecification "
         "Id=\"s1\"><cc:TristimulusSpec><cc:Illuminant>D65</cc:Illuminant><cc:Observer>10_Degree</cc:Observer>"
         "</cc:TristimulusSpec><cc:MeasurementSpec>" +
         measurement +
         "<cc:WavelengthRange StartWL=\"400\" "
         "Increment=\"10\"/><cc:Device><cc:DeviceIllumination>M1_Daylight</cc:DeviceIllumination>"
         "</cc:Device></cc:MeasurementSpec></cc:ColorSpecification></cc:ColorSpecificationCollection></cc:Resources></"
         "cc:CxF>\n";
}

TEST(Cxf, AnOlderFormIsRefusedByName) {
  expect_fault(read_readings("<?xml version=\"1.0\"?>\n<CXF xmlns=\"an/older/one\">\n<SampleSet><Sample Name=\"red\">"
                             "<Spectrum>0.1 0.2</Spectrum></Sample></SampleSet></CXF>\n",
                             "old.cxf"),
               "older form of CxF", 2);
}

TEST(Cxf, SpectraAndLab) {
  const auto read =
      read_readings(cxf(band_values(400, 700, 10, " "), "ColorSpecification=\"s1\" StartWL=\"400\"",
                        "<cc:GeometryChoice><cc:SingleAngle><cc:IlluminationAngle>45</cc:IlluminationAngle>"
                        "<cc:MeasurementAngle>0</cc:MeasurementAngle></cc:SingleAngle></cc:GeometryChoice>"),
                    "a.cxf");
  ASSERT_TRUE(read) << read.errors()[0].text();
  EXPECT_EQ((*read)[0].name, "red");
  EXPECT_EQ((*read)[0].mode, MeasurementMode::M1);
  EXPECT_EQ((*read)[0].geometry, "45:0");
  EXPECT_EQ((*read)[0].specular, Specular::excluded);
  EXPECT_LT(furthest((*read)[0].reflectance, 400, 700), 1e-5);
  const auto sphere =
      read_readings(cxf(band_values(400, 700, 10, " "), "ColorSpecification=\"s1\"",
                        "<cc:GeometryChoice><cc:SphereGeometry><cc:Configuration>Specular_Included</cc:Configuration>"
                        "</cc:SphereGeometry></cc:GeometryChoice>"),
                    "a.cxf");
  ASSERT_TRUE(sphere);
  EXPECT_EQ((*sphere)[0].specular, Specular::included);
  const std::string lab =
      "<cc:ColorCIELab ColorSpecification=\"s1\"><cc:L>41.2</cc:L><cc:A>38.5</cc:A><cc:B>22.1</cc:B></cc:ColorCIELab>";
  const auto only_lab = read_readings(cxf(lab), "a.cxf");
  ASSERT_TRUE(only_lab) << only_lab.errors()[0].text();
  EXPECT_TRUE((*only_lab)[0].recovered);
  EXPECT_EQ((*only_lab)[0].lab->observer, Observer::deg10);
}

TEST(Cxf, SaysWhatIsWrong) {
  const std::string good = cxf(band_values(400, 700, 10, " "), "ColorSpecification=\"s1\"");
  ASSERT_TRUE(read_readings(good, "a.cxf"));
  EXPECT_FALSE(read_readings(good.substr(0, good.size() / 2), "a.cxf"));
  expect_fault(read_readings(cxf("0.1 0.2 nan", "ColorSpecification=\"s1\""), "a.cxf"), "'nan' is not a number", 5);
  expect_fault(read_readings(cxf("0.1 0.2", "ColorSpecification=\"s1\""), "a.cxf"), "too few for a spectrum", 5);
  expect_fault(read_readings(cxf("", "ColorSpecification=\"s1\""), "a.cxf"), "empty spectrum", 5);
  expect_fault(read_readings(cxf("0.1 0.2", "ColorSpecification=\"s2\""), "a.cxf"), "'s2' is not in the file", 5);
  expect_fault(read_readings("<svg/>", "a.cxf"), "root element", 1);
  expect_fault(read_readings(cxf(""), "a.cxf"), "no object", 3);
}

// A file cut anywhere, or with any character changed, is read or refused; nothing that is no number comes out.
TEST(AnyFile, CutOrSpoiltGivesNumbersOrFaults) {
  const std::vector<std::string> whole{
      csv(400, 700, 10),
      cgats("SAMPLE_ID " + band_names(400, 700, 10, "SPECTRAL_NM", " "), "1 " + band_values(400, 700, 10, " ") + "\n"),
      cxf(band_values(400, 700, 10, " "), "ColorSpecification=\"s1\""),
      "name,L,a,b,lamp,observer\nred,41.2,38.5,22.1,D50,2 deg\n"};
  const auto look = [](const std::string& text) {
    const auto read = read_readings(text, "spoilt");
    if (!read) {
      ASSERT_FALSE(read.errors().empty());
      for (const Error& e : read.errors()) ASSERT_FALSE(e.what.empty());
      return;
    }
    for (const Reading& r : *read)
      for (int b = 0; b < bands; ++b)
        ASSERT_TRUE(r.reflectance[b] >= 0 && r.reflectance[b] <= 1.2) << r.reflectance[b] << text;
  };
  for (const std::string& text : whole)
    for (std::size_t i = 0; i < text.size(); i += 3) {
      look(text.substr(0, i));
      for (const char c : {'9', '-', ',', ' ', '\n', '"', '<', '\t', 'e', ';'}) {
        std::string spoilt = text;
        spoilt[i] = c;
        look(spoilt);
      }
    }
}

}  // namespace
